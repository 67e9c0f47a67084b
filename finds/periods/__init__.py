"""Which years a period's name stands for: one scheme a nation, as dated data in schemes.toml. Pure: no database.

Periods overlap by design and differ by nation, so a name means nothing without its scheme; a record keeps both.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).with_name("schemes.toml")


@dataclass(frozen=True, slots=True)
class Period:
    """A period: first and last year as historians write them, None where open. `mark`: see schemes.toml."""

    label: str
    first: int | None
    last: int | None
    mark: str
    uri: str = ""
    note: str = ""

    def overlaps(self, first: int | None, last: int | None) -> bool:
        """Have the period and these years (None: open) a year in common?"""
        begins_in_time = self.last is None or first is None or first <= self.last
        return begins_in_time and (self.first is None or last is None or last >= self.first)


@dataclass(frozen=True, slots=True)
class Scheme:
    """The periods of one nation, as one list gave them at one time."""

    code: str
    name: str
    version: str
    source: str
    jurisdictions: tuple[str, ...]
    periods: tuple[Period, ...]
    uri: str = ""

    @property
    def cited(self) -> str:
        """Name and version, as a record keeps them."""
        return f"{self.name}, {self.version}"

    def period(self, label: str) -> Period | None:
        """The period of that name; case, hyphens and spaces do not matter."""
        wanted = _plain(label)
        return next((period for period in self.periods if _plain(period.label) == wanted), None)


def _plain(label: str) -> str:
    return " ".join(label.replace("-", " ").casefold().split())


@lru_cache
def schemes() -> tuple[Scheme, ...]:
    """Every scheme of the data file."""
    rows: list[dict[str, Any]] = tomllib.loads(DATA.read_text(encoding="utf-8"))["scheme"]
    return tuple(_scheme(row) for row in rows)


def _scheme(row: dict[str, Any]) -> Scheme:
    periods = tuple(
        Period(
            label=term["label"],
            first=term.get("from"),
            last=term.get("to"),
            mark=term["mark"],
            uri=term.get("uri", ""),
            note=term.get("note", ""),
        )
        for term in row["term"]
    )
    return Scheme(
        code=row["code"],
        name=row["name"],
        version=row["version"],
        source=row["source"],
        jurisdictions=tuple(row["jurisdictions"]),
        periods=periods,
        uri=row.get("uri", ""),
    )


def scheme_for(jurisdiction: str) -> Scheme | None:
    """The scheme of the place where the find lay; None where there is none, and words and years have to do."""
    return next((scheme for scheme in schemes() if jurisdiction in scheme.jurisdictions), None)
