"""Bench readings set beside what was dug at each target ID: counts, the share worth keeping, and honest
intervals.

It tells a member what their own machine has said so far. It never says what a signal is: a deep coin can
read as iron.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist, median

from tongue import figure
from tongue import say as _

ID_LIMIT = 1000


class ReadingsError(ValueError):
    """Readings that cannot be compared; the message names the value and the remedy, `value` keeps it."""

    def __init__(self, message: str, value: object) -> None:
        super().__init__(message)
        self.value = value


@dataclass(frozen=True)
class Dug:
    """One hole that was dug:

    the target ID shown, the machine-and-mode label of its scale, and if it was worth keeping.
    """

    target_id: int
    scale: str
    kept: bool


@dataclass(frozen=True)
class Bench:
    """One item passed under the coil:

    the IDs it gave (usually three; none when it was not heard) and its scale.
    """

    item: str
    scale: str
    target_ids: tuple[int, ...]

    @property
    def heard(self) -> bool:
        """A pass was heard when it gave any reading."""
        return bool(self.target_ids)


@dataclass(frozen=True)
class Interval:
    """A share and the 95 % interval (or other level) round it, all 0 to 1; for a difference, -1 to 1."""

    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Row:
    """What one stretch of target IDs (both ends included) gave:

    holes, keepers, the share kept, bench items there.
    """

    first_id: int
    last_id: int
    dug: int
    kept: int
    interval: Interval | None
    bench_items: tuple[str, ...]


def wilson(kept: int, dug: int, level: float = 0.95) -> Interval:
    """The Wilson score interval of a share, without continuity correction.

    Raises ReadingsError when nothing was dug, or more was kept than dug, or level is outside 0 to 1.
    Source: Wilson 1927, JASA 22, 209-212; recommended for small samples by Brown, Cai and DasGupta 2001.
    """
    if dug < 1:
        raise ReadingsError(_("%(dug)s holes give no share; give at least 1.") % {"dug": dug}, dug)
    if not 0 <= kept <= dug:
        raise ReadingsError(
            _("%(kept)s kept of %(dug)s dug; give 0 to %(dug)s.") % {"kept": kept, "dug": dug}, kept
        )
    z = _z(level)
    share, z2 = kept / dug, z * z
    middle = (share + z2 / (2 * dug)) / (1 + z2 / dug)
    half = z * math.sqrt(share * (1 - share) / dug + z2 / (4 * dug * dug)) / (1 + z2 / dug)
    low = 0.0 if kept == 0 else middle - half
    high = 1.0 if kept == dug else middle + half
    return Interval(share, max(0.0, low), min(1.0, high))


def difference(kept_a: int, dug_a: int, kept_b: int, dug_b: int, level: float = 0.95) -> Interval:
    """Share A minus share B with its interval from the two Wilson intervals.

    Raises ReadingsError as `wilson` does. Source: Newcombe 1998, Statistics in Medicine 17, 873-890, method
    10.
    """
    a, b = wilson(kept_a, dug_a, level), wilson(kept_b, dug_b, level)
    gap = a.share - b.share
    low = gap - math.hypot(a.share - a.low, b.high - b.share)
    return Interval(gap, low, gap + math.hypot(a.high - a.share, b.share - b.low))


def separation(higher: Sequence[int], lower: Sequence[int], level: float = 0.95) -> Interval:
    """The chance that a reading from `higher` is above one from `lower`, ties counting half: 0.5 is no
    difference.

    The interval is clipped to 0..1 and, for perfectly separated readings, has no width: trust it only with
    dozens of readings each. Raises ReadingsError when either is empty. Source: Hanley and McNeil 1982,
    Radiology 143, 29-36 (area under the curve and its standard error).
    """
    if not higher or not lower:
        raise ReadingsError(_("No readings on one side; give at least 1 on each."), len(higher) or len(lower))
    n, m = len(higher), len(lower)
    wins = sum((h > low) + 0.5 * (h == low) for h in higher for low in lower)
    area = wins / (n * m)
    q1, q2 = area / (2 - area), 2 * area * area / (1 + area)
    variance = (area * (1 - area) + (n - 1) * (q1 - area**2) + (m - 1) * (q2 - area**2)) / (n * m)
    half = _z(level) * math.sqrt(max(0.0, variance))
    return Interval(area, max(0.0, area - half), min(1.0, area + half))


def separation_score(higher: Sequence[int], lower: Sequence[int], level: float = 0.95) -> Interval:
    """As `separation`, with an interval that stays honest for few or perfectly separated readings.

    It holds every share that the readings would not contradict at this level, as Wilson's does. Raises ReadingsError
    when either is empty. Source: Newcombe 2006, Statistics in Medicine 25, 559-573, method 5 (from memory; its
    variance is that of Hanley and McNeil 1982 at two equal sizes).
    """
    area, n, m = separation(higher, lower, level).share, len(higher), len(lower)
    z2, size = _z(level) ** 2, (n + m) / 2

    def fits(share: float) -> bool:
        spread = 2 * size - 1 - (3 * size - 3) / ((2 - share) * (1 + share))
        return (area - share) ** 2 <= z2 * share * (1 - share) * spread / (n * m)

    return Interval(area, _edge(fits, area, 0.0), _edge(fits, area, 1.0))


def _edge(fits: Callable[[float], bool], inside: float, outside: float) -> float:
    """Where `fits` turns false between `inside` and `outside`, by halving; `outside` itself where it never does."""
    if inside == outside or fits(outside):
        return outside
    for _rest in range(60):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if fits(middle) else (inside, middle)
    return inside


def compare(
    dug: Iterable[Dug], bench: Iterable[Bench] = (), *, width: int = 1, level: float = 0.95
) -> list[Row]:
    """One row per stretch of `width` target IDs that was dug at or met on the bench, in order.

    A bench item stands in the row of the median of its readings. All must carry one scale: the numbers of
    different machines or modes mean different things. Raises ReadingsError for mixed scales, a width below
    1 or an ID out of range.
    """
    holes, items = list(dug), [item for item in bench if item.heard]
    _one_scale({hole.scale for hole in holes} | {item.scale for item in items})
    if width < 1:
        raise ReadingsError(
            _("A width of %(width)s groups nothing; give 1 or more target IDs.") % {"width": width}, width
        )
    counts: defaultdict[int, list[int]] = defaultdict(lambda: [0, 0])
    for hole in holes:
        place = counts[_known_id(hole.target_id) // width]
        place[0] += 1
        place[1] += hole.kept
    named: defaultdict[int, set[str]] = defaultdict(set)
    for item in items:
        named[math.floor(median(map(_known_id, item.target_ids))) // width].add(item.item)
    return [
        Row(
            first_id=key * width,
            last_id=key * width + width - 1,
            dug=counts[key][0],
            kept=counts[key][1],
            interval=wilson(counts[key][1], counts[key][0], level) if counts[key][0] else None,
            bench_items=tuple(sorted(named[key])),
        )
        for key in sorted(counts.keys() | named.keys())
    ]


def _z(level: float) -> float:
    if not 0 < level < 1:
        raise ReadingsError(
            _("A level of %(level)s is no share; give for example 0.95.") % {"level": figure(f"{level:g}")},
            level,
        )
    return NormalDist().inv_cdf(0.5 + level / 2)


def _known_id(target_id: int) -> int:
    if not -ID_LIMIT < target_id < ID_LIMIT:
        raise ReadingsError(
            _("Target ID %(target_id)s is out of range; give -999 to 999.") % {"target_id": target_id},
            target_id,
        )
    return target_id


def _one_scale(scales: set[str]) -> None:
    if len(scales) > 1:
        names = ", ".join(sorted(scales))
        raise ReadingsError(
            _("Readings of different scales (%(names)s) cannot be compared; choose one.") % {"names": names},
            names,
        )
