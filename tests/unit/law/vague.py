"""Finds of which everything is said, and the same finds with less said: what the tests of unknowns compare."""

import random
from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import date

from law.facts import Assay, FindFacts, LandStatus
from law.tri import Tri
from tests.unit.law.make import ORDINARY

TRI = [f.name for f in fields(FindFacts) if f.type == "Tri"]
# Both sides of every day on which a rule of some pack begins or ends, and an ordinary day.
DAYS = [
    date(1994, 11, 20),
    date(1994, 11, 21),
    date(1997, 9, 23),
    date(1997, 9, 24),
    date(2002, 12, 31),
    date(2003, 1, 1),
    date(2023, 7, 29),
    date(2023, 7, 30),
    date(2024, 11, 3),
    date(2024, 11, 4),
    date(2025, 3, 10),
]
# Years on both sides of every line in the packs: ages of 50 to 300 years, and the fixed years.
MADE = [-900, -43, -1, 1, 43, 399, 401, 1200, 1535, 1536, 1537, 1538, 1600, 1649, 1650, 1707, 1708]
MADE += [1720, 1723, 1725, 1727, 1822, 1825, 1827, 1849, 1850, 1899, 1900, 1917, 1918, 1924, 1926, 1974, 2015]
SHARES = [0.0, 1.0, 9.9, 10.0, 10.1, 55.0, 100.0]
COUNTS = [1, 1, 1, 2, 9, 10, 40]
DEPTHS = [0.0, 30.0, 31.0]
LOST = [1700, 1849, 1850, 1924, 1925, 1990]
METALS = ("gold", "silver", "base_metal", "copper_alloy")


def settled(rng: random.Random, day: date | None = None, towards: Sequence[str] = ()) -> FindFacts:
    """An ordinary find with some facts turned at random: everything is said, and nothing against itself.

    `towards` names the facts to turn, instead of any.
    """
    said = {**ORDINARY, "any_metal": Tri.UNKNOWN}
    for name in towards or rng.sample(TRI, rng.randint(0, 12)):
        said[name] = rng.choice((Tri.YES, Tri.NO))
    year, lost, share = rng.choice(MADE), rng.choice(LOST), rng.choice(SHARES)
    said |= {
        "found_on": day or rng.choice(DAYS),
        "count": rng.choice(COUNTS),
        "made_from": year,
        "made_to": year,
        "vessel_lost_from": lost,
        "vessel_lost_to": lost,
        "precious_pct_low": share,
        "precious_pct_high": share,
        "assay": Assay.BULK,
        "depth_cm": rng.choice(DEPTHS),
        "land_status": rng.choice([each for each in LandStatus if each is not LandStatus.UNKNOWN]),
        "exceptional_by_expert": True,
    }
    return FindFacts(**{**said, **_without_contradiction(said)})


def _without_contradiction(said: dict) -> dict:
    """Facts that follow from others, so that no find is gold and without metal at once."""
    mended = {}
    if said["is_coin"] is Tri.YES:
        mended["worked"] = Tri.YES
    if said["copper_alloy"] is Tri.YES:
        mended["base_metal"] = Tri.YES
    metals = {name: mended.get(name, said[name]) for name in METALS}
    mended["any_metal"] = Tri.YES if Tri.YES in metals.values() else Tri.NO
    if Tri.YES not in (said["gold"], said["silver"]):
        mended |= {"precious_pct_low": 0.0, "precious_pct_high": 0.0}
    if said["made_to"] < 1:
        mended["prehistoric"] = Tri.YES
    if said["made_from"] > 400:
        mended["prehistoric"] = Tri.NO
    if said["church_land"] is Tri.NO:
        mended |= dict.fromkeys(("church_of_england", "cathedral"), Tri.NO)
    return mended


def _years(rng: random.Random, first: int, last: int) -> tuple[int | None, int | None]:
    """A wider span of years around `first` to `last`; either end, or both, may be open."""
    earlier = [year for year in MADE if year < first] or [first]
    later = [year for year in MADE if year > last] or [last]
    return rng.choice([None, first, rng.choice(earlier)]), rng.choice([None, last, rng.choice(later)])


def _forget_years(rng: random.Random, facts: FindFacts) -> FindFacts:
    first, last = _years(rng, facts.made_from, facts.made_to)
    return replace(facts, made_from=first, made_to=last)


def _forget_loss(rng: random.Random, facts: FindFacts) -> FindFacts:
    first, last = _years(rng, facts.vessel_lost_from, facts.vessel_lost_to)
    return replace(facts, vessel_lost_from=first, vessel_lost_to=last)


def _forget_share(rng: random.Random, facts: FindFacts) -> FindFacts:
    """A range around the share, a surface reading anywhere, or no measurement."""
    low = rng.choice([None, *(each for each in SHARES if each <= facts.precious_pct_low)])
    high = rng.choice([None, *(each for each in SHARES if each >= facts.precious_pct_high)])
    # The surface may read richer or poorer than the whole: only that there is some is sure.
    reading = rng.choice(SHARES[1:]) if facts.precious_pct_low else 0.0
    return rng.choice(
        [
            replace(facts, precious_pct_low=low, precious_pct_high=high),
            replace(facts, assay=Assay.SURFACE, precious_pct_low=None, precious_pct_high=None),
            replace(facts, assay=Assay.NONE, precious_pct_low=None, precious_pct_high=None),
            replace(facts, assay=Assay.SURFACE, precious_pct_low=reading, precious_pct_high=reading),
        ]
    )


def _forget_expert(rng: random.Random, facts: FindFacts) -> FindFacts:
    """Nobody has said, or only the finder said that it is not exceptional: no expert's “no”."""
    said = rng.choice([Tri.UNKNOWN, Tri.NO])
    return replace(facts, exceptional=said, exceptional_by_expert=False)


def forget(rng: random.Random, facts: FindFacts, name: str) -> FindFacts:
    """The same find with that fact not said, or said less narrowly."""
    if name in _WIDER:
        return _WIDER[name](rng, facts)
    if name == "land_status":
        return replace(facts, land_status=LandStatus.UNKNOWN)
    if name in ("count", "depth_cm", "found_on"):
        return replace(facts, **{name: None})
    return replace(facts, **{name: Tri.UNKNOWN})


_WIDER = {
    "made": _forget_years,
    "vessel_lost": _forget_loss,
    "share": _forget_share,
    "exceptional": _forget_expert,
}
FORGETTABLE = sorted({*TRI, *_WIDER, "land_status", "count", "depth_cm", "found_on"})


def vaguer(rng: random.Random, facts: FindFacts, most: int = 8) -> FindFacts:
    """The same find with one to `most` things forgotten."""
    for name in rng.sample(FORGETTABLE, rng.randint(1, most)):
        facts = forget(rng, facts, name)
    return facts
