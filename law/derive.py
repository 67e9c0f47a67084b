"""Facts that follow from other facts, so that rules read the same whatever was typed first."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from operator import attrgetter
from zoneinfo import ZoneInfo

from law import ages
from law.facts import Assay, FindFacts
from law.tri import Tri, any_of

_TRI_NAMES = tuple(f.name for f in fields(FindFacts) if f.type == "Tri")
_ALL_TRI = attrgetter(*_TRI_NAMES)
_METALS = ("gold", "silver", "base_metal", "copper_alloy")

# What a condition may name beside the fields of a find, and the fields that answer it.
DERIVED = {
    "an_object": ("is_coin", "pierced_or_mounted"),
    "precious": ("gold", "silver"),
    "hoarded": ("container", "hidden"),
    "wreck": ("tidal", "from_vessel"),
    "exceptional_insight": ("exceptional",),
    "military_craft": ("military_aircraft", "military_vessel"),
}
_TOGETHER = {
    "made_from": ("made_from", "made_to", "made_on"),
    "vessel_lost_from": ("vessel_lost_from", "vessel_lost_to", "vessel_lost_on"),
    "precious_pct_low": ("precious_pct_low", "precious_pct_high", "assay"),
    "found_on": ("found_on", "found_at"),
}


def fact_names() -> frozenset[str]:
    """Every yes-or-no fact that a condition may name.

    Not `exceptional` itself: a finder's “no” does not count there, so rules ask for exceptional_insight.
    """
    return (frozenset(_TRI_NAMES) | DERIVED.keys()) - {"exceptional"}


def fields_behind(fact: str) -> tuple[str, ...]:
    """The fields of FindFacts that answer a fact named by an unknown, for a form to point at."""
    return DERIVED.get(fact) or _TOGETHER.get(fact) or (fact,)


def found_day(facts: FindFacts, tz: str) -> date | None:
    """The local day of the find; `tz` is the pack's zone, used when the facts name none."""
    if facts.found_at is not None:
        return facts.found_at.astimezone(ZoneInfo(facts.tz or tz)).date()
    return facts.found_on


def resolve(facts: FindFacts) -> dict[str, Tri]:
    """Every yes-or-no fact with what follows from the others. A contradiction leans towards reporting."""
    said = dict(zip(_TRI_NAMES, _ALL_TRI(facts), strict=True))
    _metals(said)
    said["prehistoric"] = ages.prehistoric(said["prehistoric"], ages.made(facts))
    if said["is_coin"] is Tri.YES:
        said["worked"] = Tri.YES
    # A coin that was pierced, mounted or gilded may be an ornament: it is judged as coin and as object.
    maybe_ornament = said["is_coin"] is Tri.YES and said["pierced_or_mounted"] is not Tri.NO
    said["an_object"] = Tri.UNKNOWN if maybe_ornament else ~said["is_coin"]
    said["precious"] = said["gold"] | said["silver"]
    if facts.precious_pct_low:
        # A measured share outweighs “no gold, no silver”: the contradiction leans towards reporting.
        said["precious"] = said["any_metal"] = Tri.YES
    said["hoarded"] = said["container"] | said["hidden"]
    said["wreck"] = said["tidal"] & said["from_vessel"]
    said["military_craft"] = said["military_aircraft"] | said["military_vessel"]
    said["exceptional_insight"] = _insight(facts)
    _church(said)
    return said


def _metals(said: dict[str, Tri]) -> None:
    if said["copper_alloy"] is Tri.YES:
        said["base_metal"] = Tri.YES
    elif said["base_metal"] is Tri.NO:
        said["copper_alloy"] = Tri.NO
    parts = any_of(said[name] for name in _METALS)
    if parts is Tri.YES:
        said["any_metal"] = Tri.YES
    elif said["any_metal"] is Tri.NO:
        for name in _METALS:
            said[name] = Tri.NO
    elif parts is Tri.NO and said["any_metal"] is Tri.UNKNOWN:
        said["any_metal"] = Tri.NO


def _insight(facts: FindFacts) -> Tri:
    """A finder may say that a thing looks exceptional; only an expert may say that it is not."""
    reasons = (facts.exceptional_rarity, facts.exceptional_place, facts.exceptional_link)
    if facts.exceptional_by_expert:
        return facts.exceptional
    return Tri.YES if facts.exceptional is Tri.YES or any(reasons) else Tri.UNKNOWN


def _church(said: dict[str, Tri]) -> None:
    """No church land, or another church's, means that nothing there is the Church of England's."""
    if said["church_land"] is Tri.NO:
        for name in ("church_of_england", "cathedral"):
            said[name] = Tri.NO
    for name in ("church_faculty", "church_held"):
        said[name] = said["church_of_england"] & said[name]
    said["cathedral"] = said["church_of_england"] & said["cathedral"]


def precious_at_least(facts: FindFacts, precious: Tri, percent: float) -> Tri:
    """Is at least that share of the metal, by weight, gold or silver? Only a bulk assay can settle it."""
    if precious is Tri.NO:
        return Tri.NO
    if facts.assay is not Assay.BULK:
        return Tri.UNKNOWN
    low, high = facts.precious_pct_low, facts.precious_pct_high
    if low is not None and low >= percent:
        return Tri.YES
    if high is not None and high < percent:
        return Tri.NO
    return Tri.UNKNOWN
