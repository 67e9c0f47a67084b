"""Reads a pack's TOML into tables that remember their file and line, so that a slip can be found."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")


class PackError(ValueError):
    """A pack that cannot be trusted: file, line and what to mend."""

    def __init__(self, path: Path, line: int, message: str) -> None:
        super().__init__(f"{path.name}:{line}: {message}")
        self.path = path
        self.line = line


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a pack with the place it came from; `need` and `maybe` check what they hand out.

    `line` is that of its header, `lines` those of its keys.
    """

    name: str
    values: dict[str, Any]
    path: Path
    line: int
    lines: Mapping[str, int] = field(default_factory=dict)

    @property
    def label(self) -> str:
        return f"{self.name} “{self.values.get('id', '?')}”"

    def error(self, message: str, key: str = "") -> PackError:
        """A slip at the line of `key`, or at the header where the key is not there."""
        return PackError(self.path, self.lines.get(key, self.line), f"{self.label}: {message}")

    def need(self, key: str, kind: type[T]) -> T:
        """The value, which must be there, of that kind and not empty."""
        value = self.values.get(key)
        if value is None or value in ("", [], {}):
            what = _EXAMPLES.get(key, f"{key} = {_KINDS[kind][1]}")
            raise self.error(f"{key} is missing; every {self.name} needs one: write {what}.", key)
        return self._checked(key, value, kind)

    def maybe(self, key: str, kind: type[T], default: T) -> T:
        value = self.values.get(key)
        return default if value is None else self._checked(key, value, kind)

    def day(self, key: str) -> date | None:
        value = self.values.get(key)
        return None if value is None else self._checked(key, value, date)

    def words(self, key: str) -> tuple[str, ...]:
        """A list of sentences, maybe empty."""
        found: list[Any] = self.maybe(key, list, [])
        if not all(isinstance(item, str) and item for item in found):
            raise self.error(f'{key} holds something other than words; write {key} = ["...", "..."].', key)
        return tuple(found)

    def only(self, *known: str) -> None:
        """Refuse keys that nothing reads, because a misspelt condition would be silently dropped."""
        for key in self.values:
            if key not in known:
                raise self.error(f"{key} is not known here; known are {', '.join(sorted(known))}.", key)

    def _checked(self, key: str, value: Any, kind: type[T]) -> T:
        # A day with a time of day is a date to Python, a number is a bool to it: neither is meant here.
        wrong = (kind is int and isinstance(value, bool)) or (kind is date and isinstance(value, datetime))
        if wrong or not isinstance(value, kind):
            name, example = _KINDS[kind]
            raise self.error(f"{key} is {value!r}, which is not {name}; write {key} = {example}.", key)
        return value


_KINDS: dict[Any, tuple[str, str]] = {
    str: ("words in quotes", '"..."'),
    int: ("a whole number", "14"),
    bool: ("true or false", "true"),
    list: ("a list", '["...", "..."]'),
    dict: ("a table", '{ kind = "asap", words = "..." }'),
    date: ("a day", "2026-11-25, without quotes and without a time"),
}
_EXAMPLES = {"clause": 'clause = "Treasure Act 1996 s.8(1)"', "tz": 'tz = "Europe/London"'}


def read_tables(path: Path, text: str | None = None) -> list[Table]:
    """Every table of a pack file, in order. Raises PackError where the file is not TOML or holds no tables."""
    text = path.read_text(encoding="utf-8") if text is None else text
    raw = _parsed(path, text)
    places = _places(text)
    tables: list[Table] = []
    for name, value in raw.items():
        if (
            name == "authority"
            and isinstance(value, dict)
            and all(isinstance(v, dict) for v in value.values())
        ):
            rows = [(f"authority.{key}", {"id": key, **v}) for key, v in value.items()]
        else:
            rows = [(name, v) for v in (value if isinstance(value, list) else [value])]
        for header, values in rows:
            # An array written inline has no header line of its own.
            line, keys = next(places.get(header, iter(())), (_line_of_key(text, name), {}))
            if not isinstance(values, dict):
                raise PackError(
                    path, line, f"{name} is {values!r}, which is no table; write [[{name}]] above its keys."
                )
            tables.append(Table(name, values, path, line, keys))
    return tables


def _parsed(path: Path, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        # At the end of the file tomllib names no line.
        line = int(found[1]) if found else text.count("\n") + 1
        remedy = "words stand in quotes, days as 2026-11-25, lists in [ ]"
        raise PackError(path, line, f"not TOML: {error}; {remedy}.") from error


_HEADER = re.compile(r"^\s*\[{1,2}\s*([\w.\- ]+?)\s*\]{1,2}\s*(#.*)?$")
_KEY = re.compile(r"""^\s*["']?([\w\-]+)["']?\s*=""")


def _places(text: str) -> dict[str, Iterator[tuple[int, dict[str, int]]]]:
    """For each table name the lines of its headers, each with the lines of the keys below it."""
    found: dict[str, list[tuple[int, dict[str, int]]]] = {}
    keys: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if header := _HEADER.match(line):
            keys = {}
            found.setdefault(header[1], []).append((number, keys))
        elif key := _KEY.match(line):
            keys.setdefault(key[1], number)
    return {name: iter(places) for name, places in found.items()}


def _line_of_key(text: str, name: str) -> int:
    """The line on which a key of that name stands outside any table, or 1."""
    start = re.compile(rf"^\s*{re.escape(name)}\s*=")
    return next((n for n, line in enumerate(text.splitlines(), 1) if start.match(line)), 1)
