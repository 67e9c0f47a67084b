"""Finds every text of the program that is marked for translation, in Python, templates, TOML and scripts."""

import ast
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tomllib import loads

from django.utils.translation.template import templatize

from web.script_words import said as said_by_script

ROOT = Path(__file__).resolve().parent.parent
AREAS = ("web", "people", "permissions", "hunts", "finds", "field", "reports", "doors", "keeping", "law")
SHARED = "web"
ELSEWHERE = {"geo": "web", "config": "web", "account": "people", "mfa": "people", "_parts": "web"}
CALLS = {"_": 1, "_lazy": 1, "gettext": 1, "gettext_lazy": 1, "gettext_noop": 1, "say": 1, "noop": 1,
         "_n": 2, "_n_lazy": 2, "ngettext": 2, "ngettext_lazy": 2, "say_many": 2,
         "_p": -1, "_p_lazy": -1, "pgettext": -1, "pgettext_lazy": -1}  # fmt: skip
"""How a text is marked: with one text, with two for one and many, or (-1) with what tells two alike apart."""
TEMPLATE_CALL = re.compile(r"""\b(?:n?p?gettext|_)\((?:[^()"']|"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*')*\)""")

Key = tuple[str, str, str]  # context, text, plural
DATA: dict[str, tuple[str, ...]] = {
    "law/packs/**/*.toml": (
        "title",
        "law_as_at",
        "caution",
        "notes",
        "name",
        "how",
        "duty",
        "words",
        "consequence",
        "cautions",
        "steps",
        "lifted_words",
        "of_words",
    ),
    "law/stages.toml": ("title", "who", "words"),
    "finds/first_aid.toml": ("text", "title", "line", "do", "caution", "source"),
    "finds/coins.toml": ("title", "plural", "why"),
    "permissions/seasons.toml": ("reason", "region", "source"),
}
"""Tables of data whose words are shown: a pattern of files, and the keys under which words stand."""


@dataclass
class Said:
    """One text to translate: where it stands, and in which areas."""

    places: list[str] = field(default_factory=list)
    areas: set[str] = field(default_factory=set)

    @property
    def area(self) -> str:
        return next(iter(self.areas)) if len(self.areas) == 1 else SHARED


def area_of(path: Path) -> str:
    """The area of a file by its path from the root."""
    parts = path.parts[2 if path.parts[0] == "static" else 1 if path.parts[0] == "templates" else 0 :]
    name = ELSEWHERE.get(parts[0], parts[0])
    return name if name in AREAS else SHARED


def in_python(text: str) -> Iterator[Key]:
    """Each marked text in Python code, in the order in which they stand."""
    for node in sorted(_calls(ast.parse(text)), key=lambda call: (call.lineno, call.col_offset)):
        yield _key(node)


def _calls(tree: ast.AST) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _texts(node):
            yield node


def _texts(call: ast.Call) -> list[str]:
    """The literal texts of a call that marks any; none for another call, or where the text is worked out."""
    name = call.func.id if isinstance(call.func, ast.Name) else ""
    wanted = abs(CALLS.get(name, 0)) + (CALLS.get(name, 0) < 0)
    found = [a.value for a in call.args[:wanted] if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    return found if wanted and len(found) == wanted else []


def _key(call: ast.Call) -> Key:
    assert isinstance(call.func, ast.Name)
    texts = _texts(call)
    if CALLS[call.func.id] < 0:
        return texts[0], texts[1], ""
    return "", texts[0], texts[1] if len(texts) > 1 else ""


def in_template(text: str) -> Iterator[Key]:
    """Each marked text in a template, by the framework's own reading of it."""
    for match in TEMPLATE_CALL.finditer(templatize(text)):
        yield from in_python(match[0].replace("u'", "'") if match[0].startswith("u") else match[0])


def in_toml(text: str, keys: Iterable[str]) -> Iterator[Key]:
    """What stands under any of `keys`, at any depth, in a table of data."""
    wanted = frozenset(keys)

    def walk(value: object, key: str) -> Iterator[str]:
        if isinstance(value, dict):
            for name, inner in value.items():
                yield from walk(inner, name)
        elif isinstance(value, list):
            for inner in value:
                yield from walk(inner, key)
        elif isinstance(value, str) and value and key in wanted:
            yield value

    yield from (("", found, "") for found in walk(loads(text), ""))


SCRIPTS = ("static/js", "static/src")


def sources() -> Iterator[tuple[Path, Iterator[Key]]]:
    """Each file that may say something, with what it says."""
    for area in sorted({*AREAS, "geo", "config", "tongue"}):
        for path in sorted((ROOT / area).rglob("*.py")):
            if "migrations" not in path.parts and "demo" not in path.parts:
                yield path, in_python(path.read_text(encoding="utf-8"))
    for path in sorted((ROOT / "templates").rglob("*")):
        if path.suffix in {".html", ".txt"}:
            yield path, in_template(path.read_text(encoding="utf-8"))
    for path in sorted(path for folder in SCRIPTS for path in (ROOT / folder).rglob("*.js")):
        yield path, (("", one, many) for one, many in said_by_script(path.read_text(encoding="utf-8")))
    for pattern, keys in DATA.items():
        for path in sorted(ROOT.glob(pattern)):
            yield path, in_toml(path.read_text(encoding="utf-8"), keys)


def collect() -> dict[Key, Said]:
    """Everything that is said, once each. One text with and without a plural is one entry with it."""
    found: dict[Key, Said] = {}
    for path, keys in sources():
        place = path.relative_to(ROOT)
        for key in keys:
            said = found.setdefault(key, Said())
            said.areas.add(area_of(place))
            if place.as_posix() not in said.places:
                said.places.append(place.as_posix())
    plurals = {key[:2]: key for key in found if key[2]}
    for key in [key for key in found if not key[2] and key[:2] in plurals]:
        said, other = found.pop(key), found[plurals[key[:2]]]
        other.areas |= said.areas
        other.places += [place for place in said.places if place not in other.places]
    return found
