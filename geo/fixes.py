"""Averages repeated fixes of one spot without pretending that a minute of fixes is sixty measurements."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geo.errors import GeoError
from geo.local import Floats, Local
from geo.precision import R95_PER_SIGMA
from tongue import say as _

CORRELATION_S = 120.0
"""How long a receiver's error remembers itself: 60 to 120 s in the noise model of the coverage work; the
longer.
"""
_LEAST_SHARE = 0.5
"""What one receiver under one sky beside one hedge shares never averages out: at best half of the best fix.
"""


@dataclass(frozen=True)
class Fix:
    """One reading in degrees with its 95 % radius in metres and, if known, its time in seconds from any
    start.
    """

    lon: float
    lat: float
    accuracy_m: float
    at_s: float | None = None


@dataclass(frozen=True)
class Averaged:
    """The weighted mean, its 95 % radius, how many fixes went in and how many independent ones they are
    worth.
    """

    lon: float
    lat: float
    accuracy_m: float
    count: int
    independent: float


def average_fixes(fixes: Sequence[Fix]) -> Averaged:
    """The mean weighted by one over accuracy squared.

    Errors a time t apart correlate as exp(-t / 120 s); without times they count as wholly alike, so that
    averaging claims nothing. If the fixes scatter more than their accuracies allow, the radius grows to match
    (the ratio of Birge 1932, cited from memory). Raises GeoError for no fixes or an accuracy that is not
    above zero.
    """
    if not fixes:
        raise GeoError(_("There are no fixes to average"), value=0, remedy=_("take at least one"))
    radius = np.array([f.accuracy_m for f in fixes], dtype=float)
    if not np.all(np.isfinite(radius) & (radius > 0)):
        bad = next(f.accuracy_m for f in fixes if not (math.isfinite(f.accuracy_m) and f.accuracy_m > 0))
        raise GeoError(
            _("Accuracy %(bad)s m is not usable") % {"bad": bad},
            value=bad,
            remedy=_("give metres above zero for each fix"),
        )
    weight = (1 / radius**2) / (1 / radius**2).sum()
    local = Local(fixes[0].lon, fixes[0].lat)
    x, y = local.forward([f.lon for f in fixes], [f.lat for f in fixes])
    mean_x, mean_y = float(weight @ x), float(weight @ y)
    variance = _variance(weight * radius, fixes)
    worth = float(weight @ radius**2) / variance
    spread = _scatter((x - mean_x) ** 2 + (y - mean_y) ** 2, radius)
    claimed = max(math.sqrt(variance) * max(1.0, spread), _LEAST_SHARE * float(radius.min()))
    lon, lat = local.inverse(mean_x, mean_y)
    return Averaged(float(lon), float(lat), claimed, len(fixes), min(max(worth, 1.0), float(len(fixes))))


def _variance(shares: Floats, fixes: Sequence[Fix]) -> float:
    """Square of the mean's 95 % radius: the sum over all pairs of shares times their correlation, in one
    pass.
    """
    times = [f.at_s for f in fixes]
    if any(t is None for t in times):
        return float(shares.sum()) ** 2
    order = np.argsort(np.array(times, dtype=float))
    total, carried, last = 0.0, 0.0, None
    for i in order:
        now = float(times[i] or 0.0)
        carried *= math.exp(-(now - last) / CORRELATION_S) if last is not None else 0.0
        share = float(shares[i])
        total += share * share + 2 * share * carried
        carried += share
        last = now
    return total


def _scatter(squared_m: Floats, radius: Floats) -> float:
    """How much wider the fixes lie than their accuracies say, 1 if as expected."""
    if len(radius) < 2:
        return 1.0
    return math.sqrt(float((squared_m * R95_PER_SIGMA**2 / radius**2).sum()) / (2 * (len(radius) - 1)))
