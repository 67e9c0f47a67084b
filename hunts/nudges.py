"""What a detector's own log says it is time to do: balance again, charge, rinse. Pure: told the facts and the time.

Sources: facts of the trade gathered for this project. The ground rules are common practice among detectorists
(repeat the balance when the ground changes; dry to wet salt sand is among the hardest changes); the number of
hours is from memory and only a reminder.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from tongue import figure, noop
from tongue import say as _

BALANCE_HOURS = 2.0
"""Hours after which a ground setting is asked about again: temperature and moisture drift (from memory)."""

BATTERY_ALERT_SHARE = 0.7
"""Share of the rated hours since the last charge above which charging is asked for (common practice)."""

FULL_PERCENT = 95
"""A battery that starts at this or more was charged before."""


class Environment(StrEnum):
    """The kind of ground a reading was taken in."""

    DRY_SAND = "dry sand"
    WET_SAND = "wet sand"
    WATER = "water"
    ARABLE = "arable"
    PASTURE = "pasture"
    WOODLAND = "woodland"
    CLAY = "clay"
    MINERALISED = "mineralised"
    OTHER = "other"


WORDS: dict[Environment, str] = {
    Environment.DRY_SAND: noop("Dry sand"),
    Environment.WET_SAND: noop("Wet salt sand"),
    Environment.WATER: noop("In the water"),
    Environment.ARABLE: noop("Arable"),
    Environment.PASTURE: noop("Pasture"),
    Environment.WOODLAND: noop("Woodland"),
    Environment.CLAY: noop("Clay"),
    Environment.MINERALISED: noop("Mineralised patch"),
    Environment.OTHER: noop("Other ground"),
}
SALT = frozenset({Environment.WET_SAND, Environment.WATER})
_HARD: dict[tuple[Environment, Environment], str] = {
    (Environment.DRY_SAND, Environment.WET_SAND): (
        noop(
            "From dry to wet salt sand is among the hardest changes: balance again, lower the sensitivity, "
            "and lift the coil a little."
        )
    ),
    (Environment.WET_SAND, Environment.WATER): (
        noop("From wet sand into the water: balance again with the coil under water, and mind the tide.")
    ),
    (Environment.DRY_SAND, Environment.WATER): (
        noop("From dry sand into the water: balance again with the coil under water, and mind the tide.")
    ),
}


@dataclass(frozen=True, slots=True)
class Met:
    """One kind of ground met at one time: a reading taken there, or a hole dug there."""

    environment: Environment
    at: datetime
    balanced: bool


def balance_nudge(met: Iterable[Met], *, at: datetime, hours: float = BALANCE_HOURS) -> str:
    """The sentence that asks to balance again at `at`, or nothing where the last balance still fits.

    `met` in any order; what lies after `at` is ignored. Nothing is said before the first balance and ground met.
    """
    seen = sorted((each for each in met if each.at <= at), key=lambda each: each.at)
    if not seen:
        return ""
    balanced = [each for each in seen if each.balanced]
    if not balanced:
        return _("No ground reading yet, and you are in %(words)s: balance first.") % {
            "words": _(WORDS[seen[-1].environment]).lower()
        }
    last, here = balanced[-1], seen[-1]
    if here.environment is not last.environment:
        return change_nudge(last.environment, here.environment)
    since = at - last.at
    if since >= timedelta(hours=hours):
        passed = since.total_seconds() / 3600
        return _("%(passed)s hours since the last balance: the ground dries and warms, so balance again.") % {
            "passed": figure(f"{passed:.1f}")
        }
    return ""


def change_nudge(before: Environment, now: Environment) -> str:
    """What to do on going from one kind of ground into another; nothing where it is the same."""
    if before is now:
        return ""
    plain = _("The ground changed from %(words)s to %(value)s: balance again.") % {
        "words": _(WORDS[before]).lower(),
        "value": _(WORDS[now]).lower(),
    }
    return _(_HARD[before, now]) if (before, now) in _HARD else plain


@dataclass(frozen=True, slots=True)
class Leg:
    """One outing on one battery: percent shown at start and end, hours run; None where not written down."""

    start_percent: int | None
    end_percent: int | None
    hours: float | None


@dataclass(frozen=True, slots=True)
class BatteryUse:
    """Hours run since the last charge, as a share of the rated hours; `pace` is hours a full charge would last.

    `share` is None without rated hours; `pace` None without a drop of at least 10 percent to judge by.
    """

    hours: float
    share: float | None
    pace: float | None
    alert: str


def battery_use(legs: Sequence[Leg], rated_hours: float | None) -> BatteryUse:
    """How much of a battery is used, from its outings in order of time.

    A leg that starts at 95 % or more begins a new charge. Alerts above 70 % of the rated hours, and where the
    battery empties in less than 70 % of them: cold and age shorten it.
    """
    run: list[Leg] = []
    for leg in legs:
        if leg.start_percent is not None and leg.start_percent >= FULL_PERCENT:
            run = []
        run.append(leg)
    hours = sum(leg.hours or 0.0 for leg in run)
    share = round(hours / rated_hours, 6) if rated_hours else None
    pace = _pace(run)
    return BatteryUse(hours, share, pace, _battery_words(hours, share, pace, rated_hours))


def _pace(legs: Iterable[Leg]) -> float | None:
    dropped, hours = 0, 0.0
    for leg in legs:
        if leg.start_percent is None or leg.end_percent is None or not leg.hours:
            continue
        dropped += leg.start_percent - leg.end_percent
        hours += leg.hours
    return 100 * hours / dropped if dropped >= 10 else None


def _battery_words(hours: float, share: float | None, pace: float | None, rated: float | None) -> str:
    if share is not None and rated is not None and share > BATTERY_ALERT_SHARE:
        return _(
            "%(hours)s of %(rated)s rated hours are used (%(value)s %%): charge before the next hunt."
        ) % {
            "hours": figure(f"{hours:g}"),
            "rated": figure(f"{rated:g}"),
            "value": figure(f"{100 * share:.0f}"),
        }
    if pace is not None and rated and pace < BATTERY_ALERT_SHARE * rated:
        lasts = _("At this pace a full charge lasts %(pace)s hours, not %(rated)s") % {
            "pace": figure(f"{pace:.1f}"),
            "rated": figure(f"{rated:g}"),
        }
        return _("%(lasts)s: cold and age shorten it. Carry a spare.") % {"lasts": lasts}
    return ""
