"""What the law says, in the language of whoever reads it.

Screenings are made and kept in English whatever the reader speaks: they are compared, counted and hashed, and must come
out alike for everybody. Here their words, and those of the packs, are said again when they are shown: a text of a pack
or of a table as it stands, one with a figure, a day or another text in it by the pattern that it was made by. What no
catalogue holds stays as it is.
"""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Mapping
from dataclasses import fields, replace
from functools import lru_cache, reduce
from typing import TypeVar

from law.retold_lines import LANDS, LINES, OR
from tongue import figure, say

T = TypeVar("T")

# The fields of screenings, changes, rules, stages and packs that hold words. Clauses, sources and codes are not among
# them: they are quoted as they are.
WORDS_IN = frozenset(
    {
        "after", "authority", "authority_how", "before", "caution", "cautions", "checked", "consequence", "counted",
        "drills", "due", "duties", "duty", "exclusions", "how", "law_as_at", "lifted_words", "name", "notes",
        "outcome", "effects", "packs", "parts", "question", "clock", "ruled_out", "steps", "still_unknown", "title",
        "unknowns", "who", "why", "words", "limit", "stage", "stages",
    }
)  # fmt: skip
_VALUE = re.compile(r"%\((\w+)\)s|%%")
_DAY = re.compile(rf"\b(\d{{1,2}}) ({'|'.join(month_name[1:])}) (-?\d+)\b")
_NEXT_SENTENCE = re.compile(r"(?<=[.?!]) (?=[A-Z0-9])")
_FIGURE = re.compile(r"[\d,]*\d(?:\.\d+)?")


def retold(text: str) -> str:
    """The text of a pack, a table or a screening in the language spoken now."""
    said = say(text)
    if said != text:
        return said
    found = _line(text)
    if found is not None and say(found[0]) != found[0]:
        return say(found[0]) % {name: _part(value) for name, value in found[1].items()}
    for divided, between in ((_NEXT_SENTENCE.split(text), " "), (text.split(": ", 1), ": ")):
        if len(divided) > 1:
            return between.join(retold(part) for part in divided)
    return _days(text)


def _part(value: str) -> str:
    if _FIGURE.fullmatch(value):
        return figure(value) if "." in value else value
    names = value.split(" or ")
    if len(names) > 1 and set(names) <= set(LANDS):
        return reduce(lambda first, more: say(OR) % {"first": first, "more": more}, map(say, names))
    return _days(value) if _DAY.search(value) and _line(value) is None else retold(value)


def _days(text: str) -> str:
    return _DAY.sub(lambda found: f"{found[1]} {say(found[2])} {found[3]}", text)


@lru_cache(maxsize=4096)
def _line(text: str) -> tuple[str, Mapping[str, str]] | None:
    """The pattern that a text was made by, with what went into it."""
    for template, pattern in _patterns():
        found = pattern.fullmatch(text)
        if found:
            return template, found.groupdict()
    return None


@lru_cache(maxsize=1)
def _patterns() -> list[tuple[str, re.Pattern[str]]]:
    return [(line, re.compile(_pattern(line), re.DOTALL)) for line in LINES]


def _pattern(line: str) -> str:
    parts, at, seen = [], 0, set()
    for found in _VALUE.finditer(line):
        parts.append(re.escape(line[at : found.start()]))
        name, at = found[1], found.end()
        parts.append(
            "%" if name is None else f"(?P={name})" if name in seen else f"(?P<{name}>{_inner(name)})"
        )
        seen.add(name)
    return "".join([*parts, re.escape(line[at:])])


def _inner(name: str) -> str:
    """What may stand in a value: whole sentences only where a sentence was put in."""
    return ".+?" if name in {"words", "question"} else r"(?:(?![.?!] [A-Z0-9]).)+?"


def all_retold(value: T) -> T:
    """A screening, a rule or whatever is made of such parts, with all its words said again."""
    if type(value) is str:
        return retold(value)  # type: ignore[arg-type,return-value]
    if isinstance(value, tuple):
        return tuple(all_retold(part) for part in value)  # type: ignore[return-value]
    if not hasattr(value, "__dataclass_fields__"):
        return value
    own = {each.name: getattr(value, each.name) for each in fields(value) if each.name in WORDS_IN}  # type: ignore[arg-type]
    said = {name: all_retold(part) for name, part in own.items()}
    changed = {name: part for name, part in said.items() if part != own[name]}
    return replace(value, **changed) if changed else value  # type: ignore[type-var]
