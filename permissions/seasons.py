"""Closed periods that recur in the farming year, for the secretary to adapt: read from seasons.toml. Pure."""

import tomllib
from calendar import month_name
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from tongue import noop
from tongue import say as _

_FILE = Path(__file__).with_name("seasons.toml")
BASES = {
    "statute": noop("dates given by law"),
    "table": noop("dates from published tables, not read in the law"),
    "practice": noop("common practice"),
}
_EFFECTS = ("ask", "shut")


class SeasonError(ValueError):
    """A season in the file that cannot be meant; the sentence names it."""


@dataclass(frozen=True, slots=True)
class Season:
    """First and last day as (month, day), both included; a last before the first runs over the new year."""

    key: str
    reason: str
    first: tuple[int, int]
    last: tuple[int, int]
    effect: str
    basis: str
    region: str
    places: frozenset[str]
    source: str

    def days(self, year: int) -> tuple[date, date]:
        """The season that starts in `year`."""
        start = date(year, *self.first)
        return start, date(year + (self.last < self.first), *self.last)

    @property
    def label(self) -> str:
        """How firm the dates are, and where they hold."""
        return f"{self.basis_words}, {_(self.region)}"

    @property
    def basis_words(self) -> str:
        return _(BASES[self.basis])

    def words(self) -> str:
        """The days as people say them: '1 October to 1 February'."""
        first, last = (f"{d} {_(month_name[m])}" for m, d in (self.first, self.last))
        return _("%(first)s to %(last)s") % {"first": first, "last": last}


@lru_cache(maxsize=1)
def seasons() -> tuple[Season, ...]:
    """Every season, in the order of the file. Raises SeasonError for one that cannot be meant."""
    found = tuple(_season(row) for row in tomllib.loads(_FILE.read_text(encoding="utf-8"))["season"])
    if len({season.key for season in found}) < len(found):
        raise SeasonError(_("Two seasons have one key."))
    return found


def _season(row: dict[str, object]) -> Season:
    values = row | {"first": _day(row, "first"), "last": _day(row, "last")}
    values["places"] = frozenset(_strings(row["places"]))
    season = Season(**values)  # type: ignore[arg-type]
    if season.basis not in BASES or season.effect not in _EFFECTS:
        raise SeasonError(
            _("Season %(season_key)s is of basis %(season_basis)s and effect %(season_effect)s.")
            % {"season_key": season.key, "season_basis": season.basis, "season_effect": season.effect}
        )
    return season


def _strings(value: object) -> Iterable[str]:
    return (str(each) for each in value) if isinstance(value, list) else ()


def _day(row: dict[str, object], name: str) -> tuple[int, int]:
    month, _rest, day = str(row[name]).partition("-")
    date(2001, int(month), int(day))  # raises for a day no year has
    return int(month), int(day)


def season_of(key: str) -> Season | None:
    return next((season for season in seasons() if season.key == key), None)


def seasons_for(jurisdictions: Iterable[str]) -> tuple[Season, ...]:
    """The seasons kept in any of the places; all of them where none of the places is known here."""
    places = frozenset(jurisdictions)
    return tuple(season for season in seasons() if season.places & places) or seasons()
