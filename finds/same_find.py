"""How much speaks for looking at two finds together, each point with its reason; pure.

A suggestion to look, nothing more: it never says what a thing is, nor that two things belong together. Points are house
rules; only the reach of two places is measured (geo/pairs.py).
"""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from finds.pair_reasons import reason_words
from geo.pairs import reach_m

ASSUMED_ACCURACY_M = 10.0
"""Taken where nobody recorded how well the place is known: a hand-held receiver among trees (house rule)."""

SUGGEST_AT = 6.0
"""Points out of MOST_POINTS from which a pair is put to the committee: nearness alone is not enough."""

MOST_POINTS = 10.0
_NEAR, _LIKE, _COINS, _PARTLY_LIKE, _DATES, _MATERIAL, _HUNT, _WEEK, _FINDER, _OLD = (
    3.0, 2.0, 1.5, 1.0, 1.5, 1.0, 1.0, 0.5, 0.5, 1.0,
)  # fmt: skip
_APART_IN_TIME = -1.0
OLD_YEARS = 200
"""The lowest age at which company counts in any pack that has one: designated classes (SI 2002/2666 as amended)."""


def radius_of(accuracy_m: float | None) -> float:
    """The 95 % radius in metres that is reckoned with, also where none is recorded."""
    return ASSUMED_ACCURACY_M if accuracy_m is None else accuracy_m


@dataclass(frozen=True, kw_only=True, slots=True)
class PairFacts:
    """What is known of one find, as far as it bears on its company. Years as historians write them, BC as minus."""

    number: str
    object_type: str = ""
    is_coin: str = "unknown"
    year_from: int | None = None
    year_to: int | None = None
    materials: tuple[str, ...] = ()
    hunt: str = ""
    found_on: date
    finder: str = ""
    place: tuple[float, float] | None = None  # lon, lat; only its change matters here
    accuracy_m: float | None = None

    @property
    def radius_m(self) -> float:
        """The 95 % radius that is reckoned with."""
        return radius_of(self.accuracy_m)

    @property
    def dated(self) -> bool:
        return self.year_from is not None or self.year_to is not None


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that speaks for or against, as a code of `finds/pair_reasons.py` with its figures, and its points."""

    code: str
    points: float
    values: dict[str, Any] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """The reason in the reader's language."""
        return reason_words({"code": self.code, "values": self.values})


@dataclass(frozen=True, slots=True)
class PairScore:
    """The points of all reasons together, never below 0 nor above MOST_POINTS, and the reach of the two places."""

    score: float
    reach_m: float
    reasons: tuple[Reason, ...]

    @property
    def worth_looking(self) -> bool:
        return self.score >= SUGGEST_AT


def score_pair(one: PairFacts, two: PairFacts, distance_m: float | None) -> PairScore:
    """What speaks for looking at `one` and `two` together, `distance_m` apart (None: a place is not known).

    The same in either order.
    """
    reach = reach_m(one.radius_m, two.radius_m)
    reasons = tuple(_reasons(*_in_order(one, two), distance_m, reach))
    total = sum(reason.points for reason in reasons)
    return PairScore(round(min(MOST_POINTS, max(0.0, total)), 2), reach, reasons)


def pair_digest(one: PairFacts, two: PairFacts) -> str:
    """64 hexadecimal figures that change with any fact that a person judging the pair would look at."""
    said = [repr(sorted(asdict(facts).items())) for facts in _in_order(one, two)]
    return hashlib.sha256("\n".join(said).encode()).hexdigest()


def _in_order(one: PairFacts, two: PairFacts) -> tuple[PairFacts, PairFacts]:
    first, second = sorted((one, two), key=lambda facts: (facts.found_on, facts.number))
    return first, second


def _reasons(one: PairFacts, two: PairFacts, distance_m: float | None, reach: float) -> Iterator[Reason]:
    yield _nearness(one, two, distance_m, reach)
    yield _kind(one, two)
    yield _dates(one, two)
    yield from _age(one, two)
    yield from _materials(one, two)
    yield _days(one, two)
    if one.finder and one.finder == two.finder:
        yield Reason("finder", _FINDER, {"finder": one.finder})


def _nearness(one: PairFacts, two: PairFacts, distance_m: float | None, reach: float) -> Reason:
    if distance_m is None:
        return Reason("place unknown", 0.0)
    known = {
        "apart_m": distance_m,
        "first_m": one.accuracy_m,
        "second_m": two.accuracy_m,
        "taken_m": ASSUMED_ACCURACY_M,
    }
    if distance_m > reach:
        return Reason("not one spot", 0.0, known)
    return Reason("near", round(_NEAR * (1 - distance_m / (2 * reach)), 2), known | {"reach_m": reach})


def _kind(one: PairFacts, two: PairFacts) -> Reason:
    mine, other = _words_of(one.object_type), _words_of(two.object_type)
    if mine and mine == other:
        return Reason("same kind", _LIKE, {"what": one.object_type})
    if one.is_coin == two.is_coin == "yes":
        return Reason("coins", _COINS)
    shared = sorted(mine & other)
    if shared:
        return Reason("words shared", _PARTLY_LIKE, {"words": " ".join(shared)})
    return Reason("other kind", 0.0, {"first": one.object_type, "second": two.object_type})


_FILLING = frozenset({"and", "the", "with", "of", "from", "part", "fragment", "probably", "possibly"})


def _words_of(text: str) -> frozenset[str]:
    """The words of a description without number, order and case: 'Buckles, shoe' is 'shoe buckle'."""
    words = re.findall(r"[^\W\d_]{3,}", text.casefold())
    return frozenset(_singular(word) for word in words) - _FILLING


def _singular(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return f"{word[:-3]}y"
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def _dates(one: PairFacts, two: PairFacts) -> Reason:
    if not (one.dated and two.dated):
        return Reason("no dates", 0.0)
    both = {"first": [one.year_from, one.year_to], "second": [two.year_from, two.year_to]}
    if _overlap(one, two):
        return Reason("dates overlap", _DATES, both)
    return Reason("dates apart", _APART_IN_TIME, both)


def _overlap(one: PairFacts, two: PairFacts) -> bool:
    """An end that is not known is open."""
    return not _before(one, two) and not _before(two, one)


def _before(one: PairFacts, two: PairFacts) -> bool:
    return one.year_to is not None and two.year_from is not None and one.year_to < two.year_from


def _age(one: PairFacts, two: PairFacts) -> Iterator[Reason]:
    if all(
        facts.year_from is not None and facts.found_on.year - facts.year_from >= OLD_YEARS
        for facts in (one, two)
    ):
        yield Reason("old", _OLD, {"years": OLD_YEARS})


def _materials(one: PairFacts, two: PairFacts) -> Iterator[Reason]:
    shared = sorted(set(one.materials) & set(two.materials))
    if shared:
        yield Reason("materials", _MATERIAL, {"materials": shared})
    elif one.materials and two.materials:
        yield Reason("other materials", 0.0)


def _days(one: PairFacts, two: PairFacts) -> Reason:
    if one.hunt and one.hunt == two.hunt:
        return Reason("hunt", _HUNT, {"hunt": one.hunt})
    days = (two.found_on - one.found_on).days
    return Reason("days", _WEEK if days <= 7 else 0.0, {"days": days})
