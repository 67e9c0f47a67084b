"""From coil, swing and overlap to the hours a field needs and what one day will cover.

The formulae are geometry; the inputs are common practice: swing 0.6 to 1.5 m/s (2 to 5 ft/s), half-coil
overlap, a swath of 1.2 to 2.0 m tip to tip, half an acre to one acre a head.
"""

import math
from dataclasses import dataclass

from tongue import figure
from tongue import say as _

ACRE_M2 = 4046.8564224  # Weights and Measures Act 1985, Schedule 1: 4840 square yards of 0.9144 m
HECTARE_M2 = 10_000.0
COMFORTABLE_ACRES_EACH = 1.0
TIGHTEST_ACRES_EACH = 0.5


class SweepError(ValueError):
    """An input no sweep can have; the message names the value and what to give instead, `value` keeps it."""

    def __init__(self, message: str, value: object) -> None:
        super().__init__(message)
        self.value = value


def within(what: str, value: float, low: float, high: float, unit: str, hint: str = "") -> float:
    """Return `value` if it lies in [low, high].

    Raises SweepError naming `what`, the value with its `unit`, the range, and the `hint`.
    """
    if not (math.isfinite(value) and low <= value <= high):
        said = {
            "what": what,
            "value": f"{figure(f'{value:g}')} {unit}".rstrip(),
            "low": figure(f"{low:g}"),
            "high": f"{figure(f'{high:g}')} {unit}".rstrip(),
            "hint": hint,
        }
        words = (
            _("%(what)s is %(value)s; give %(low)s to %(high)s (%(hint)s).")
            if hint
            else _("%(what)s is %(value)s; give %(low)s to %(high)s.")
        )
        raise SweepError(words % said, value)
    return value


def a_share(what: str, value: float) -> float:
    """Return `value` if it is a share from 0 to 1. Raises SweepError."""
    return within(what, value, 0, 1, "", _("a share: half is 0.5"))


@dataclass(frozen=True)
class Settings:
    """How one person sweeps: coil length along the walk and swath in m, coil speed in m/s, overlap as a
    share.

    Raises SweepError for a zero, negative, absurd or non-finite value.
    """

    coil_m: float = 0.28
    overlap: float = 0.5
    swing_m_s: float = 0.9144
    swath_m: float = 1.5

    def __post_init__(self) -> None:
        within(_("Coil length"), self.coil_m, 0.03, 1.2, "m", _("an 11 inch coil is 0.28 m"))
        within(_("Overlap"), self.overlap, 0, 0.95, "", _("a share of the coil: half is 0.5"))
        within(_("Swing speed"), self.swing_m_s, 0.05, 3, "m/s", _("2 to 5 ft/s, 0.6 to 1.5 m/s, is common"))
        within(_("Swath"), self.swath_m, 0.3, 4, "m", _("tip to tip, 1.2 to 2.0 m is common"))


def step_m(settings: Settings) -> float:
    """How far the coil moves forward between sweeps, in m. F1: s = c(1 - o)."""
    return settings.coil_m * (1 - settings.overlap)


def sweep_s(settings: Settings) -> float:
    """Seconds one sweep across the swath takes. F1: t = W / v."""
    return settings.swath_m / settings.swing_m_s


def walking_m_s(settings: Settings) -> float:
    """The forward speed that keeps the overlap, in m/s. F1: u = s / t."""
    return step_m(settings) / sweep_s(settings)


def gross_m2_h(settings: Settings) -> float:
    """Ground swept in an hour without digging, in m² per hour.

    F2: G = uW = c(1 - o)v. The swath cancels; only coil, overlap and swing speed matter.
    """
    return step_m(settings) * settings.swing_m_s * 3600


def hours_to_sweep(
    area_m2: float, settings: Settings, *, targets: float = 0, minutes_per_dig: float = 0
) -> float:
    """Hours for one person to sweep `area_m2` once and dig `targets` holes. F3: T = A/G + n t.

    Raises SweepError.
    """
    within(_("Area"), area_m2, 0, 1e9, "m²")
    within(_("Targets"), targets, 0, 1e7, _("holes"))
    within(_("Time per dig"), minutes_per_dig, 0, 240, _("minutes"))
    return area_m2 / gross_m2_h(settings) + targets * minutes_per_dig / 60


def net_m2_h(area_m2: float, hours: float) -> float:
    """Ground really done in an hour, digging included, in m² per hour. F3: A / T.

    Raises SweepError for no hours.
    """
    within(_("Area"), area_m2, 0, 1e9, "m²")
    if not (math.isfinite(hours) and hours > 0):
        raise SweepError(
            _("%(hours)s hours; give more than 0 hours.") % {"hours": figure(f"{hours:g}")}, hours
        )
    return area_m2 / hours


def lane_cover(swath_m: float, spacing_m: float) -> float:
    """The share of the ground that lanes `spacing_m` apart sweep. F4: C = min(1, W/L). Raises SweepError."""
    within(
        _("Lane spacing"), spacing_m, 0.1, 1000, "m", _("1.5 m sweeps everything, 10 m is a reconnaissance")
    )
    return min(1.0, swath_m / spacing_m)


@dataclass(frozen=True)
class GroundPlan:
    """What `plan_ground` answers.

    Rates are per person; hours_needed are person-hours; shares run from 0 to 1.
    """

    area_m2: float
    walking_m_s: float
    gross_m2_h: float
    net_m2_h: float
    hours_needed: float
    hours_available: float
    share_walked: float
    share_swept: float
    swept_m2: float
    visits: int
    holes: float
    sentence: str


def plan_ground(
    area_m2: float,
    settings: Settings,
    *,
    people: int,
    hours: float,
    targets_per_ha: float = 0,
    minutes_per_dig: float = 4,
    spacing_m: float | None = None,
) -> GroundPlan:
    """Hours for this ground and these people, the share a day will sweep, and a plain sentence.

    `area_m2` is searchable ground, `hours` what each person sweeps and digs (breaks apart),
    `targets_per_ha` the signals worth digging that a full sweep would meet, `spacing_m` the lane spacing
    (default: the swath, so all ground is swept once). Lanes closer than the swath cost W/L times the hours.
    Raises SweepError. Source: F2 to F4; worked examples in tests/sources/test_sweep_examples.py.
    """
    within(_("Area"), area_m2, 1, 1e8, "m²", _("1 hectare is 10,000 m²"))
    within(_("People"), people, 1, 5000, _("people"))
    within(_("Hours"), hours, 0.1, 24, _("hours each"))
    within(_("Targets"), targets_per_ha, 0, 100_000, _("per hectare"))
    spacing_m = settings.swath_m if spacing_m is None else spacing_m
    cover = lane_cover(settings.swath_m, spacing_m)
    holes = targets_per_ha * area_m2 / HECTARE_M2 * cover
    strips_m2 = area_m2 * settings.swath_m / spacing_m
    needed = hours_to_sweep(strips_m2, settings, targets=holes, minutes_per_dig=minutes_per_dig)
    available = people * hours
    walked = min(1.0, available / needed)
    visits = math.ceil(round(needed / available, 9))
    return GroundPlan(
        area_m2=area_m2,
        walking_m_s=walking_m_s(settings),
        gross_m2_h=gross_m2_h(settings),
        net_m2_h=net_m2_h(area_m2 * cover, needed),
        hours_needed=needed,
        hours_available=available,
        share_walked=walked,
        share_swept=walked * cover,
        swept_m2=area_m2 * walked * cover,
        visits=visits,
        holes=holes * walked,
        sentence=_sentence(area_m2, people, hours, walked, cover, visits, available - needed),
    )


def _sentence(
    area_m2: float, people: int, hours: float, walked: float, cover: float, visits: int, spare_h: float
) -> str:
    """The plan said plainly, whole percent and a tenth of a hectare."""
    who = "1 person" if people == 1 else _("%(people)s people") % {"people": people}
    time = _("1 hour") if hours == 1 else _("%(hours)s hours") % {"hours": figure(f"{hours:g}")}
    swept = walked * cover
    what = _("%(area)s, %(percent)s of these %(value)s") % {
        "area": _area(area_m2 * swept),
        "percent": _percent(swept),
        "value": _area(area_m2),
    }
    did = _("%(who)s in %(time)s will sweep about %(what)s.") % {"who": who, "time": time, "what": what}
    if walked < 1:
        return _(
            "%(did)s One visit cannot do this field: allow %(visits)s such visits, or choose part of it."
        ) % {"did": did, "visits": visits}
    rest = (
        ""
        if cover == 1
        else _(" The lanes leave %(percent)s unswept between them.") % {"percent": _percent(1 - cover)}
    )
    return _("%(did)s%(rest)s It can be done in the time, with about %(spare_h)s person-hours to spare.") % {
        "did": did,
        "rest": rest,
        "spare_h": figure(f"{spare_h:.0f}"),
    }


def _area(area_m2: float) -> str:
    return (
        _("%(value)s ha") % {"value": figure(f"{area_m2 / HECTARE_M2:.1f}")}
        if area_m2 >= 1000
        else f"{area_m2:.0f} m²"
    )


def _percent(share: float) -> str:
    return _("less than 1 %") if 0 < share < 0.005 else f"{100 * share:.0f} %"


@dataclass(frozen=True)
class Capacity:
    """How many people a piece of ground takes, and the sentence for the leader."""

    comfortable: int
    maximum: int
    sentence: str


def capacity(area_m2: float, *, owner_cap: int | None = None) -> Capacity:
    """Heads for the ground: one acre each is comfortable, half an acre the tightest; the owner's cap
    overrides.

    Source: common practice among clubs (at least half an acre a head, preferably one; organised days of 75
    to 100 people on 85 to 100 acres agree). Raises SweepError.
    """
    within(_("Area"), area_m2, 1, 1e8, "m²", _("1 hectare is 10,000 m²"))
    acres = area_m2 / ACRE_M2
    comfortable = max(1, math.floor(acres / COMFORTABLE_ACRES_EACH + 1e-9))
    maximum = max(1, math.floor(acres / TIGHTEST_ACRES_EACH + 1e-9))
    said = _("%(acres)s acres take %(comfortable)s people comfortably, %(maximum)s at the most.") % {
        "acres": figure(f"{acres:.1f}"),
        "comfortable": comfortable,
        "maximum": maximum,
    }
    if owner_cap is not None:
        within(_("The owner's limit"), owner_cap, 1, 5000, _("people"))
        comfortable, maximum = min(comfortable, owner_cap), min(maximum, owner_cap)
        said = _("%(said)s The agreement allows %(owner_cap)s.") % {"said": said, "owner_cap": owner_cap}
    return Capacity(comfortable, maximum, said)
