"""How much speaks for looking at two finds together, each point with its reason in words; pure.

A suggestion to look, nothing more: it never says what a thing is, nor that two things belong together. Points are house
rules; only the reach of two places is measured (geo/pairs.py).
"""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import date

from finds.dates import range_words
from geo.pairs import reach_m
from tongue import figure
from tongue import say as _

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
    """One thing that speaks for or against, in words, with its points."""

    words: str
    points: float


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
    reasons = tuple(reason for reason in _reasons(*_in_order(one, two), distance_m, reach) if reason.words)
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
    yield _age(one, two)
    yield _materials(one, two)
    yield _days(one, two)
    if one.finder and one.finder == two.finder:
        yield Reason(_("Both were found by %(one_finder)s.") % {"one_finder": one.finder}, _FINDER)


def _nearness(one: PairFacts, two: PairFacts, distance_m: float | None, reach: float) -> Reason:
    if distance_m is None:
        return Reason(_("How far apart they lay is not known: a place is not recorded."), 0.0)
    known = _("the places are known to %(accuracy)s and %(value)s") % {
        "accuracy": _accuracy(one),
        "value": _accuracy(two),
    }
    apart = _("less than 1 m") if distance_m < 1 else f"{distance_m:.1f} m"
    if distance_m > reach:
        return Reason(
            _("%(apart)s apart; %(known)s, so they were not in one spot.") % {"apart": apart, "known": known},
            0.0,
        )
    words = _("%(apart)s apart; %(known)s, so up to %(reach)s m may be one spot.") % {
        "apart": apart,
        "known": known,
        "reach": figure(f"{reach:.1f}"),
    }
    return Reason(words, round(_NEAR * (1 - distance_m / (2 * reach)), 2))


def _accuracy(facts: PairFacts) -> str:
    if facts.accuracy_m is None:
        return _("%(assumed_accuracy_m)s m (taken, because none is recorded)") % {
            "assumed_accuracy_m": figure(f"{ASSUMED_ACCURACY_M:g}")
        }
    return f"{facts.accuracy_m:.1f} m" if facts.accuracy_m < 10 else f"{facts.accuracy_m:.0f} m"


def _kind(one: PairFacts, two: PairFacts) -> Reason:
    mine, other = _words_of(one.object_type), _words_of(two.object_type)
    if mine and mine == other:
        return Reason(
            _("Both are recorded as “%(one_object_type)s”.") % {"one_object_type": one.object_type}, _LIKE
        )
    if one.is_coin == two.is_coin == "yes":
        return Reason(_("Both are recorded as coins or tokens."), _COINS)
    shared = sorted(mine & other)
    if shared:
        return Reason(_("Both records speak of “%(shared)s”.") % {"shared": " ".join(shared)}, _PARTLY_LIKE)
    return Reason(
        _("They are recorded as different objects: “%(one_object_type)s”, “%(two_object_type)s”.")
        % {"one_object_type": one.object_type, "two_object_type": two.object_type},
        0.0,
    )


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
        return Reason(_("One or both have no date yet."), 0.0)
    said = [range_words(facts.year_from, facts.year_to) for facts in (one, two)]
    both = (
        said[0] if said[0] == said[1] else _("%(first)s and %(last)s") % {"first": said[0], "last": said[1]}
    )
    if _overlap(one, two):
        return Reason(_("Their dates overlap: %(both)s.") % {"both": both}, _DATES)
    return Reason(_("Their dates do not overlap: %(both)s.") % {"both": both}, _APART_IN_TIME)


def _overlap(one: PairFacts, two: PairFacts) -> bool:
    """An end that is not known is open."""
    return not _before(one, two) and not _before(two, one)


def _before(one: PairFacts, two: PairFacts) -> bool:
    return one.year_to is not None and two.year_from is not None and one.year_to < two.year_from


def _age(one: PairFacts, two: PairFacts) -> Reason:
    old = all(
        facts.year_from is not None and facts.found_on.year - facts.year_from >= OLD_YEARS
        for facts in (one, two)
    )
    return (
        Reason(
            _("Both may be %(old_years)s or more years old, when company can count in law.")
            % {"old_years": OLD_YEARS},
            _OLD,
        )
        if old
        else Reason("", 0)
    )


def _materials(one: PairFacts, two: PairFacts) -> Reason:
    shared = sorted(set(one.materials) & set(two.materials))
    if shared:
        return Reason(
            _("Both are of %(shared)s.") % {"shared": ", ".join(_(name) for name in shared)}, _MATERIAL
        )
    if one.materials and two.materials:
        return Reason(_("They are of different materials."), 0.0)
    return Reason("", 0.0)


def _days(one: PairFacts, two: PairFacts) -> Reason:
    if one.hunt and one.hunt == two.hunt:
        return Reason(_("Both came up on the same hunt, %(one_hunt)s.") % {"one_hunt": one.hunt}, _HUNT)
    days = (two.found_on - one.found_on).days
    said = {0: _("They were found on the same day."), 1: _("They were found one day apart.")}.get(
        days, _("They were found %(days)s days apart.") % {"days": days}
    )
    return Reason(said, _WEEK if days <= 7 else 0.0)
