"""Which answer would change a screening, and how: each open question is answered in turn and screened again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from law.compare import OUTCOMES, What, differences
from law.derive import found_day
from law.facts import Assay, FactsError, FindFacts, LandStatus, historical
from law.leaves import Age, Depth, Precious, UpToYear
from law.leaves_together import CountInFind
from law.model import Pack
from law.nodes import Node
from law.screening import Screening
from law.together import packs_for, screen_place
from law.tri import Tri
from law.words import WORDS, said_words

Answer = tuple[str, dict[str, Any]]

# A fact that follows from others: what has to be said for it to be so, and for it not to be.
_BOTH_WAYS: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "an_object": ({"is_coin": Tri.NO}, {"is_coin": Tri.YES, "pierced_or_mounted": Tri.NO}),
    "precious": ({"gold": Tri.YES}, {"gold": Tri.NO, "silver": Tri.NO}),
    "hoarded": ({"container": Tri.YES}, {"container": Tri.NO, "hidden": Tri.NO}),
    "wreck": ({"tidal": Tri.YES, "from_vessel": Tri.YES}, {"from_vessel": Tri.NO}),
    "military_craft": (
        {"military_aircraft": Tri.YES},
        {"military_aircraft": Tri.NO, "military_vessel": Tri.NO},
    ),
    "exceptional_insight": (
        {"exceptional": Tri.YES},
        {"exceptional": Tri.NO, "exceptional_by_expert": True},
    ),
}


@dataclass(frozen=True, slots=True)
class Effect:
    """What one answer does to one rule, or to its last day."""

    pack: str
    rule: str
    clause: str
    title: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One answer to an open question: its words, the outcome it gives, and the rules it changes."""

    fact: str
    words: str
    outcome: str
    effects: tuple[Effect, ...]


def what_would_change(
    facts: FindFacts, *, group: Sequence[FindFacts] = (), code: str, on: date | datetime
) -> tuple[WhatIf, ...]:
    """Every answer to a question that is open, with what it would change by screening the find again with it.

    Answers come from the packs' own lines: their years, percentages, depths and numbers. One that cannot be true
    beside what was said is left out. A question with no line to try (the day of the find) has no answer here.
    """
    now = screen_place(facts, group=group, code=code, on=on)
    packs = packs_for(code)
    found: list[WhatIf] = []
    for unknown in now.unknowns:
        for words, said in answers_to(unknown.fact, facts, packs):
            try:
                then = screen_place(replace(facts, **said), group=group, code=code, on=on)
            except FactsError:
                continue
            found.append(WhatIf(unknown.fact, words, OUTCOMES[then.outcome], tuple(_effects(now, then))))
    return tuple(found)


def _effects(now: Screening, then: Screening) -> Iterator[Effect]:
    for change in differences(now, then):
        if change.what in (What.DUTY, What.DUE):
            yield Effect(change.pack, change.rule, change.clause, change.title, change.before, change.after)


def answers_to(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    """The answers worth trying for a fact that is not known: their words and what they say."""
    if fact in WORDS:
        yes, no = _BOTH_WAYS.get(fact, ({fact: Tri.YES}, {fact: Tri.NO}))
        return ((said_words(fact, Tri.YES), yes), (said_words(fact, Tri.NO), no))
    tries = {
        "made_from": _years,
        "vessel_lost_from": _years,
        "precious_pct_low": _shares,
        "depth_cm": _depths,
        "count": _counts,
        "land_status": _lands,
    }
    return tries[fact](fact, facts, packs) if fact in tries else ()


def _leaves(packs: Iterable[Pack], kind: type) -> Iterator[Any]:
    """Every leaf of that kind in the rules of the packs."""
    waiting: list[Node] = [rule.when for pack in packs for rule in pack.rules]
    while waiting:
        node = waiting.pop()
        if isinstance(node, kind):
            yield node
        for name in ("parts", "part", "of"):
            inner = getattr(node, name, ())
            waiting += inner if isinstance(inner, tuple) else (inner,)


def _years(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    """The years on either side of each line: old enough, and too young."""
    vessel = fact == "vessel_lost_from"
    first, last = ("vessel_lost_from", "vessel_lost_to") if vessel else ("made_from", "made_to")
    what = "The ship was lost" if vessel else "It was made"
    found = found_day(facts, packs[0].tz)
    sides: set[tuple[int, int]] = set()
    for leaf in _leaves(packs, Age):
        if found and leaf.vessel is vessel:
            line = found.year - leaf.years
            sides.add((line - leaf.pad - 1, line + leaf.pad + 1))
    for leaf in _leaves(packs, UpToYear):
        if leaf.vessel is vessel:
            sides.add((leaf.year, leaf.year + 1 or 1))
    for before, after in sorted(sides):
        old, young = historical(before) if before < 1 else before, historical(after) if after < 1 else after
        yield (f"{what} in {_year(old)} or before.", {last: old, **_no_later(facts, first, old)})
        yield (f"{what} in {_year(young)} or later.", {first: young})


def _no_later(facts: FindFacts, name: str, year: int) -> dict[str, Any]:
    """A first year that was given stands; one that is later than `year` makes the answer impossible."""
    given = getattr(facts, name)
    return {} if given is None else {name: given}


def _year(year: int) -> str:
    return f"{-year} BC" if year < 0 else str(year)


def _shares(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    for percent in sorted({leaf.percent for leaf in _leaves(packs, Precious)}):
        line = f"{percent:g} % of its metal by weight (bulk assay)"
        enough = {"precious_pct_low": percent, "precious_pct_high": 100.0, "assay": Assay.BULK}
        less = {"precious_pct_low": 0.0, "precious_pct_high": max(0.0, percent - 0.1), "assay": Assay.BULK}
        yield (f"Gold or silver is {line} or more.", enough)
        yield (f"Gold or silver is less than {line}.", less)


def _depths(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    for cm in sorted({leaf.cm for leaf in _leaves(packs, Depth)}):
        yield (f"It lay deeper than {cm:g} cm.", {"depth_cm": cm + 1})
        yield (f"It lay {cm:g} cm deep or less.", {"depth_cm": cm})


def _counts(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    numbers = {1} | {leaf.least for leaf in _leaves(packs, CountInFind)}
    return ((f"There {'is 1' if n == 1 else f'are {n}'}.", {"count": n}) for n in sorted(numbers))


def _lands(fact: str, facts: FindFacts, packs: Sequence[Pack]) -> Iterable[Answer]:
    known = (status for status in LandStatus if status is not LandStatus.UNKNOWN)
    return ((f"The land is {status.value.replace('_', ' ')}.", {"land_status": status}) for status in known)
