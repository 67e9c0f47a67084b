"""The facts about one find (or lot of like objects) that rule packs ask for; what is not said is unknown."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import date, datetime
from enum import StrEnum
from functools import lru_cache
from operator import attrgetter
from typing import Any, get_type_hints

from law.tri import Tri
from tongue import figure
from tongue import say as _


class Assay(StrEnum):
    """How the precious-metal share was measured. Only a bulk assay decides a percentage."""

    BULK = "bulk"
    SURFACE = "surface"
    NONE = "none"


class LandStatus(StrEnum):
    """Who holds the ground, as United States law sorts it."""

    UNKNOWN = "unknown"
    NATIONAL_PARK = "national_park"
    NATIONAL_FOREST = "national_forest"
    REFUGE = "refuge"
    FEDERAL_OTHER = "federal_other"
    TRIBAL = "tribal"
    STATE = "state"
    LOCAL = "local"
    PRIVATE = "private"


class FactsError(ValueError):
    """A fact that cannot be what was typed; the message names the fact, the value and the remedy."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FindFacts:
    """Everything the packs may ask about one find. A fact may be left out: it is then unknown, never "no".

    Years are written as historians write them: -44 is 44 BC, 43 is AD 43, and there is no year 0.
    Percentages are by weight of the metal content, 0 to 100. `found_at` must carry a time zone; give
    `found_on` when only the day is known. `count` is how many like objects this record stands for.

    Raises FactsError when a value is impossible.
    """

    # Label of the record; used in explanations, left out of the digest.
    ref: str = ""
    jurisdiction: str | None = None  # pack code of the place where it was found

    # When
    found_at: datetime | None = None
    found_on: date | None = None
    tz: str | None = None  # IANA name; the pack's own when left out
    realised_on: date | None = (
        None  # the day somebody first believed, or had reason to, that it must be reported
    )

    # What
    is_coin: Tri = Tri.UNKNOWN  # a metal token used, or meant to be used, as money
    worked: Tri = Tri.UNKNOWN  # made or altered by people; NO is a natural object or mineral as it comes
    count: int | None = 1  # None: number not known
    any_metal: Tri = Tri.UNKNOWN
    gold: Tri = Tri.UNKNOWN  # any part, plating included
    silver: Tri = Tri.UNKNOWN
    base_metal: Tri = Tri.UNKNOWN  # any metal that is neither gold nor silver
    copper_alloy: Tri = Tri.UNKNOWN  # copper, bronze, brass
    precious_pct_low: float | None = None
    precious_pct_high: float | None = None
    assay: Assay = Assay.NONE
    pierced_or_mounted: Tri = Tri.UNKNOWN  # pierced, looped, mounted or gilded: a coin worn as an ornament
    common_small_copper: Tri = Tri.UNKNOWN  # 17th-century Scottish turner or bawbee
    prehistoric: Tri = Tri.UNKNOWN  # Iron Age or earlier
    sami: Tri = Tri.UNKNOWN
    worked_stone_point: Tri = Tri.UNKNOWN  # arrowhead or other worked stone point

    # When it was made
    made_from: int | None = None
    made_to: int | None = None
    made_on: date | None = None  # exact day, in the Gregorian calendar

    # What belongs with it
    same_find: Tri = Tri.UNKNOWN  # left together with the rest of its record and group
    others_nearby: Tri = Tri.UNKNOWN  # other objects close by that are not recorded in the group
    container: Tri = Tri.UNKNOWN  # in a pot, tin, purse or box
    hidden: Tri = Tri.UNKNOWN  # signs that it was hidden, to be fetched again

    # Why it may matter
    exceptional: Tri = Tri.UNKNOWN  # exceptional insight into history, archaeology or culture
    exceptional_by_expert: bool = False  # who says so is an expert; only then does a "no" count
    exceptional_rarity: str = ""
    exceptional_place: str = ""
    exceptional_link: str = ""
    of_interest: Tri = Tri.UNKNOWN  # of archaeological or historical interest
    historic_link: Tri = Tri.UNKNOWN  # tied to a known person or event
    owner_known: Tri = Tri.UNKNOWN  # an owner or heir can be found
    recently_lost: Tri = Tri.UNKNOWN  # a modern loss: wedding ring, telephone

    # Where
    protected_place: Tri = Tri.UNKNOWN  # scheduled, listed, registered, recorded or State-cared-for monument
    consent_held: Tri = Tri.UNKNOWN  # the official consent, permit or licence for that search and place
    detector_used: Tri = Tri.UNKNOWN
    dug: Tri = Tri.UNKNOWN  # taken out of the ground; NO is from the surface
    depth_cm: float | None = None
    tidal: Tri = Tri.UNKNOWN  # in or on the shore of the sea or tidal water
    in_water: Tri = Tri.UNKNOWN  # under water, or on the bed of a lake, river or the sea
    church_land: Tri = Tri.UNKNOWN
    church_denomination: str = ""
    church_of_england: Tri = Tri.UNKNOWN
    church_faculty: Tri = Tri.UNKNOWN  # object and land under the Church of England's faculty jurisdiction
    church_held: Tri = Tri.UNKNOWN  # held by a church corporation, parochial church council or diocesan board
    cathedral: Tri = Tri.UNKNOWN  # in or under a cathedral church or its precinct
    at_remain: Tri = Tri.UNKNOWN  # in or at an ancient remain, grave, wreck or archaeological site
    landmark_zone: Tri = Tri.UNKNOWN  # inside a designated archaeological landmark zone
    land_status: LandStatus = LandStatus.UNKNOWN
    remain_uncovered: Tri = Tri.UNKNOWN  # digging met a hearth, wall, grave, stone setting or other feature
    observed_only: Tri = Tri.UNKNOWN  # seen, not lifted

    # Stop and call
    human_remains: Tri = Tri.UNKNOWN
    grave_goods: Tri = Tri.UNKNOWN
    native_american: Tri = Tri.UNKNOWN
    ordnance: Tri = Tri.UNKNOWN
    military_aircraft: Tri = Tri.UNKNOWN
    military_vessel: Tri = Tri.UNKNOWN

    # Ships
    from_vessel: Tri = Tri.UNKNOWN  # part, gear or cargo of a ship or aircraft
    vessel_lost_from: int | None = None
    vessel_lost_to: int | None = None
    vessel_lost_on: date | None = None

    def __post_init__(self) -> None:
        _check_when(self)
        _check_years(self.made_from, self.made_to)
        _check_years(self.vessel_lost_from, self.vessel_lost_to)
        _check_numbers(self)

    def to_dict(self) -> dict[str, Any]:
        """Plain values that JSON can hold, without facts left at their default."""
        names, defaults, values_of = _defaults()
        said = zip(names, values_of(self), defaults, strict=True)
        # Most facts of most finds are at their default, the very same object.
        return {
            name: _plain(value) for name, value, default in said if value is not default and value != default
        }

    @classmethod
    def from_dict(cls, stored: dict[str, Any]) -> FindFacts:
        """Facts back from `to_dict`. Raises FactsError naming a fact that is not known or cannot be read."""
        kinds = _kinds()
        values = {}
        for name, value in stored.items():
            if name not in kinds:
                raise FactsError(f"“{name}” is not a fact that the law packs know.")
            values[name] = _read(name, kinds[name], value)
        return cls(**values)

    def digest(self) -> str:
        """64 hexadecimal figures (SHA-256), the same while the facts are; the label does not count."""
        plain = self.to_dict()
        plain.pop("ref", None)
        return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


def astronomical(year: int) -> int:
    """The year on a scale with a year 0 (1 BC is 0, 44 BC is -43), from a historian's year (-1, -44)."""
    if year == 0:
        raise FactsError(_("There is no year 0: write 1 BC as -1 and AD 1 as 1."))
    return year if year > 0 else year + 1


def historical(year: int) -> int:
    """The historian's year (-1 is 1 BC), from a year on a scale with a year 0."""
    return year if year > 0 else year - 1


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    return value._value_ if isinstance(value, StrEnum) else value


@lru_cache(maxsize=1)
def _defaults() -> tuple[tuple[str, ...], tuple[Any, ...], Callable[[FindFacts], tuple[Any, ...]]]:
    """The names of all facts, their defaults, and what reads them all."""
    names = tuple(f.name for f in fields(FindFacts))
    return names, tuple(f.default for f in fields(FindFacts)), attrgetter(*names)


@lru_cache(maxsize=1)
def _kinds() -> dict[str, str]:
    return {name: str(hint) for name, hint in get_type_hints(FindFacts).items()}


def _read(name: str, kind: str, value: Any) -> Any:
    try:
        if value is None:
            return None
        if "datetime.datetime" in kind:
            return datetime.fromisoformat(value)
        if "datetime.date" in kind:
            return date.fromisoformat(value)
        for enum in (Tri, Assay, LandStatus):
            if enum.__name__ in kind:
                return enum(value)
    except (TypeError, ValueError) as error:
        raise FactsError(f"{name}: “{value}” cannot be read ({error}).") from error
    return value


def _check_when(facts: FindFacts) -> None:
    if facts.found_at is not None and facts.found_at.utcoffset() is None:
        raise FactsError(
            f"found_at {facts.found_at.isoformat()} has no time zone; give one, or give found_on."
        )


def _check_years(first: int | None, last: int | None) -> None:
    for year in (first, last):
        if year is not None:
            astronomical(year)
    if first is not None and last is not None and first > last:
        raise FactsError(
            _("%(first)s comes after %(last)s; give the earlier year first.") % {"first": first, "last": last}
        )


def _check_numbers(facts: FindFacts) -> None:
    low, high = facts.precious_pct_low, facts.precious_pct_high
    for value in (low, high):
        if value is not None and not 0 <= value <= 100:
            raise FactsError(
                _("%(value)s %% of precious metal is outside 0 to 100.") % {"value": figure(f"{value:g}")}
            )
    if low is not None and high is not None and low > high:
        raise FactsError(
            _("Precious metal from %(low)s %% to %(high)s %%: give the lower figure first.")
            % {"low": figure(f"{low:g}"), "high": figure(f"{high:g}")}
        )
    if facts.count is not None and facts.count < 1:
        raise FactsError(
            _("A record of %(count)s objects holds none; give 1 or more.") % {"count": facts.count}
        )
    if facts.depth_cm is not None and facts.depth_cm < 0:
        raise FactsError(
            _("A depth of %(depth)s cm is above ground; give 0 for the surface.")
            % {"depth": figure(f"{facts.depth_cm:g}")}
        )
