"""Reads a pack's TOML into tables that remember their file and line, so that a slip can be found."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import date
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
    """One table of a pack with the place it came from; `need` and `maybe` check what they hand out."""

    name: str
    values: dict[str, Any]
    path: Path
    line: int

    @property
    def label(self) -> str:
        return f"{self.name} “{self.values.get('id', '?')}”"

    def error(self, message: str) -> PackError:
        return PackError(self.path, self.line, f"{self.label}: {message}")

    def need(self, key: str, kind: type[T]) -> T:
        """The value, which must be there, of that kind and not empty."""
        value = self.values.get(key)
        if value is None or value in ("", []):
            raise self.error(f"{key} is missing; every {self.name} needs one.")
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
            raise self.error(f"{key} holds something other than words.")
        return tuple(found)

    def only(self, *known: str) -> None:
        """Refuse keys that nothing reads, because a misspelt condition would be silently dropped."""
        for key in self.values:
            if key not in known:
                raise self.error(f"{key} is not known here; known are {', '.join(sorted(known))}.")

    def _checked(self, key: str, value: Any, kind: type[T]) -> T:
        if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            raise self.error(f"{key} is {value!r}, which is not {_KINDS.get(kind, kind.__name__)}.")
        return value


_KINDS: dict[Any, str] = {str: "words in quotes", int: "a whole number", list: "a list", date: "a date"}


def read_tables(path: Path, text: str | None = None) -> list[Table]:
    """Every table of a pack file, in order. Raises PackError where the file is not TOML."""
    text = path.read_text(encoding="utf-8") if text is None else text
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        raise PackError(path, int(found[1]) if found else 1, f"not TOML: {error}") from error
    tables: list[Table] = []
    for name, value in raw.items():
        if isinstance(value, list):
            lines = _lines(text, rf"\[\[{re.escape(name)}\]\]")
            # An array written inline has no header lines of its own.
            lines += [1] * (len(value) - len(lines))
            tables += [Table(name, v, path, n) for v, n in zip(value, lines, strict=True)]
        elif name == "authority":
            tables += _authorities(path, text, value)
        else:
            tables.append(Table(name, value, path, (_lines(text, rf"\[{re.escape(name)}\]") or [1])[0]))
    return tables


def _authorities(path: Path, text: str, value: dict[str, Any]) -> list[Table]:
    return [
        Table(
            "authority", {"id": key, **v}, path, (_lines(text, rf"\[authority\.{re.escape(key)}\]") or [1])[0]
        )
        for key, v in value.items()
    ]


def _lines(text: str, pattern: str) -> list[int]:
    header = re.compile(rf"^\s*{pattern}\s*(#.*)?$")
    return [number for number, line in enumerate(text.splitlines(), 1) if header.match(line)]
