"""Collect what is to be translated into the catalogues, area by area: `python -m tools.messages`.

Every area has a catalogue of its own under locale/, so that several people can translate at a time; what several areas
say stands once, in `web`. A text that was translated keeps its translation wherever it moves to; one that nobody says
any more is dropped. The compiled catalogues (.mo) are kept beside them, so that the program runs as it is checked out.
`--check` changes nothing and names what is out of step.
"""

import ast
import io
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tomllib import loads

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.utils.translation.template import templatize

from web.script_words import said as said_by_script

ROOT = Path(__file__).resolve().parent.parent
AREAS = ("web", "people", "permissions", "hunts", "finds", "field", "reports", "doors", "keeping", "law")
SHARED = "web"
ELSEWHERE = {"geo": "web", "config": "web", "account": "people", "mfa": "people", "_parts": "web"}
LANGUAGES = ("nl",)
CALLS = {"_": 1, "_lazy": 1, "gettext": 1, "gettext_lazy": 1, "gettext_noop": 1, "say": 1, "noop": 1,
         "_n": 2, "_n_lazy": 2, "ngettext": 2, "ngettext_lazy": 2, "say_many": 2,
         "_p": -1, "_p_lazy": -1, "pgettext": -1, "pgettext_lazy": -1}  # fmt: skip
"""How a text is marked: with one text, with two for one and many, or (-1) with what tells two alike apart."""
TEMPLATE_CALL = re.compile(r"""\b(?:n?p?gettext|_)\((?:[^()"']|"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*')*\)""")
HEAD = "# The words of this program in another language; docs/languages.md says how they are kept.\n#"

Key = tuple[str, str, str]  # context, text, plural


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


SCRIPTS = ("static/js", "static/src/map")
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
}
"""Tables of data whose words are shown: a pattern of files, and the keys under which words stand."""


def sources() -> Iterator[tuple[Path, Iterator[Key]]]:
    """Each file that may say something, with what it says."""
    for area in sorted({*AREAS, "geo", "config"}):
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


def path_of(area: str, language: str) -> Path:
    return ROOT / "locale" / area / language / "LC_MESSAGES" / "django.po"


def read(area: str, language: str) -> Catalog:
    """The catalogue as it is kept; an empty one where there is none yet."""
    path = path_of(area, language)
    if not path.exists():
        return _empty(language)
    with path.open("rb") as file:
        return read_po(file, locale=language)


class Words(Catalog):
    """A catalogue without the dates, names and versions that would make two runs differ."""

    @property  # type: ignore[misc]  # it is only read
    def mime_headers(self) -> list[tuple[str, str]]:
        return [
            ("Language", str(self.locale_identifier)),
            ("Plural-Forms", self.plural_forms),
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Transfer-Encoding", "8bit"),
        ]


def _empty(language: str) -> Catalog:
    return Words(locale=language, header_comment=HEAD, fuzzy=False)


def merged(language: str) -> dict[str, Catalog]:
    """The catalogue of each area as it should be: what is said now, with every translation there was."""
    known: dict[tuple[str, str], Message] = {}
    for area in AREAS:
        known |= {
            (message.context or "", _first(message)): message
            for message in read(area, language)
            if message.id
        }
    made = {area: _empty(language) for area in AREAS}
    for (context, text, plural), said in collect().items():
        old = known.get((context, text))
        made[said.area].add(
            (text, plural) if plural else text,
            _kept(old, bool(plural), made[said.area].num_plurals),
            locations=[(place, 0) for place in said.places],
            flags=set(old.flags) & {"fuzzy"} if old else (),
            user_comments=old.user_comments if old else (),
            context=context or None,
        )
    return made


def _first(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def _kept(old: Message | None, plural: bool, forms: int) -> str | tuple[str, ...]:
    if old is None:
        return ("",) * forms if plural else ""
    words = words_of(old)
    if plural:
        return words if len(words) == forms else (words[0], *("",) * (forms - 1))
    return words[0]


def words_of(message: Message) -> tuple[str, ...]:
    """Its translation: one text, or one for each of the language's numbers."""
    string = message.string
    return tuple(string) if isinstance(string, tuple | list) else (string or "",)


def written(catalog: Catalog) -> bytes:
    out = io.BytesIO()
    write_po(out, catalog, width=110, include_lineno=False)
    return out.getvalue()


def compiled(catalog: Catalog) -> bytes:
    out = io.BytesIO()
    write_mo(out, catalog)
    return out.getvalue()


def run(check: bool = False) -> list[str]:
    """Bring the catalogues up to date, or with `check` only name the files that are not."""
    changed = []
    for language in LANGUAGES:
        for area, catalog in merged(language).items():
            path = path_of(area, language)
            for target, content in ((path, written(catalog)), (path.with_suffix(".mo"), compiled(catalog))):
                if target.exists() and target.read_bytes() == content:
                    continue
                changed.append(target.relative_to(ROOT).as_posix())
                if not check:
                    target.parent.mkdir(parents=True, exist_ok=True)
                    target.write_bytes(content)
    return changed


def main() -> None:
    check = "--check" in sys.argv[1:]
    changed = run(check)
    print("\n".join(changed) or "Every catalogue is up to date.")
    for language in LANGUAGES:
        for area in AREAS:
            rows = [message for message in read(area, language) if message.id]
            without = sum(not all(words_of(message)) for message in rows)
            print(f"{language} {area}: {len(rows)} texts, {without} without a translation")
    if check and changed:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
