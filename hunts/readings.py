"""What a person dug at each target ID, per machine and mode, beside what their bench test showed."""

from collections import defaultdict
from dataclasses import dataclass, field
from statistics import median
from typing import Any

from django.utils.translation import gettext as _

from hunts.models import BenchTest, Hole, Kit, SetUp
from hunts.models.bench import COINS, IRON, Item
from hunts.models.hole import Outcome
from hunts.targets import Bench, Dug, Interval, Row, compare, difference, separation_score
from people.models import User
from tongue import figure

WIDTHS = (1, 5, 10)


def mode_key(mode: str) -> str:
    """The same mode written differently is one mode."""
    return " ".join(mode.split()).casefold()


@dataclass
class Scale:
    """One machine in one mode: the only numbers that may be set beside one another."""

    kit: Kit
    mode: str
    holes: list[Hole] = field(default_factory=list)
    tests: list[BenchTest] = field(default_factory=list)

    @property
    def label(self) -> str:
        return f"{self.kit.name}, {self.mode}"


@dataclass(frozen=True, slots=True)
class Split:
    """The share kept at and above an ID against below it, and the gap between the two."""

    at_id: int
    above: tuple[int, int]
    below: tuple[int, int]
    gap: Interval
    words: str


def scales_of(kit: Kit, user: User) -> tuple[dict[str, Scale], int]:
    """The scales of `kit` by mode, and how many of the person's holes with an ID no set-up covers. Three queries."""
    scales: dict[str, Scale] = {}

    def scale(mode: str) -> Scale:
        return scales.setdefault(mode_key(mode), Scale(kit, " ".join(mode.split())))

    for test in BenchTest.objects.visible_to(user).filter(kit=kit):
        scale(test.mode).tests.append(test)
    in_force: defaultdict[int, list[SetUp]] = defaultdict(list)
    for row in SetUp.objects.visible_to(user).order_by("set_at", "pk"):
        in_force[row.hunt_id].append(row)
    holes = Hole.objects.visible_to(user).filter(digger=user, target_id__isnull=False)
    bare = 0
    for hole in holes.exclude(outcome=Outcome.STOPPED):
        set_up = next((s for s in reversed(in_force[hole.hunt_id]) if s.set_at <= hole.dug_at), None)
        if set_up is None:
            bare += 1
        elif set_up.kit_id == kit.pk:
            scale(set_up.mode).holes.append(hole)
    return scales, bare


def dug_of(scale: Scale) -> list[Dug]:
    """The holes as `hunts.targets` counts them: a find is worth keeping, all else is not."""
    return [
        Dug(hole.target_id, scale.label, hole.outcome == Outcome.FIND)
        for hole in scale.holes
        if hole.target_id is not None
    ]


def bench_of(scale: Scale) -> list[Bench]:
    """The bench's items with all the readings they gave at any distance and way up."""
    readings: defaultdict[str, list[int]] = defaultdict(list)
    for test in scale.tests:
        readings[test.item].extend(test.readings)
    return [Bench(str(Item(item).label), scale.label, tuple(ids)) for item, ids in readings.items()]


def compared(scale: Scale, width: int) -> dict[str, Any]:
    """The rows, the split between iron and coins, and how well the two separate."""
    rows = compare(dug_of(scale), bench_of(scale), width=width)
    return {
        "rows": [{"row": row, "ids": _ids(row), **_percent(row)} for row in rows],
        "split": split_of(scale),
        "bench_apart": _apart(_bench_ids(scale, COINS), _bench_ids(scale, IRON)),
        "dug_apart": _apart(_dug_ids(scale, Outcome.FIND), _dug_ids(scale, Outcome.IRON)),
        "chart": chart(rows),
        "dug": len(scale.holes),
        "tests": len(scale.tests),
    }


def _ids(row: Row) -> str:
    return (
        f"{row.first_id}"
        if row.first_id == row.last_id
        else _("%(row_first_id)s to %(row_last_id)s")
        % {"row_first_id": row.first_id, "row_last_id": row.last_id}
    )


def _percent(row: Row) -> dict[str, Any]:
    if row.interval is None:
        return {"share": None, "low": None, "high": None}
    return {
        "share": round(100 * row.interval.share),
        "low": round(100 * row.interval.low),
        "high": round(100 * row.interval.high),
    }


def _bench_ids(scale: Scale, items: tuple[Item, ...]) -> list[int]:
    return [number for test in scale.tests if test.item in items for number in test.readings]


def _dug_ids(scale: Scale, outcome: Outcome) -> list[int]:
    return [h.target_id for h in scale.holes if h.outcome == outcome and h.target_id is not None]


def split_of(scale: Scale) -> Split | None:
    """Split the holes half-way between the bench's iron and coin readings; None where one side has nothing."""
    iron, coins = _bench_ids(scale, IRON), _bench_ids(scale, COINS)
    if not iron or not coins:
        return None
    at_id = round((median(iron) + median(coins)) / 2)
    dug = dug_of(scale)
    above = [each.kept for each in dug if each.target_id >= at_id]
    below = [each.kept for each in dug if each.target_id < at_id]
    if not above or not below:
        return None
    gap = difference(sum(above), len(above), sum(below), len(below))
    return Split(at_id, (sum(above), len(above)), (sum(below), len(below)), gap, _gap_words(gap))


def _gap_words(gap: Interval) -> str:
    said = _("%(value)s percentage points (likely %(value2)s to %(value3)s)") % {
        "value": figure(f"{100 * gap.share:+.0f}"),
        "value2": figure(f"{100 * gap.low:+.0f}"),
        "value3": figure(f"{100 * gap.high:+.0f}"),
    }
    if gap.low <= 0 <= gap.high:
        return _("%(said)s: no difference can be told yet. Dig more of both.") % {"said": said}
    return _("%(said)s: the number does tell something on this machine in this mode.") % {"said": said}


def _apart(higher: list[int], lower: list[int]) -> dict[str, Any] | None:
    if not higher or not lower:
        return None
    found = separation_score(higher, lower)
    return {
        "percent": round(100 * found.share),
        "low": round(100 * found.low),
        "high": round(100 * found.high),
        "higher": len(higher),
        "lower": len(lower),
    }


LEFT, TOP, BAR, GAP, ACROSS = 72, 24, 20, 10, 236  # narrow, so that its words stay legible on a phone


def chart(rows: list[Row]) -> dict[str, Any]:
    """Where to draw each bar, its interval and its words: user units of an SVG, so that a template only prints."""
    bars = []
    for place, row in enumerate(rows):
        top = TOP + place * (BAR + GAP)
        bar: dict[str, Any] = {"ids": _ids(row), "top": top, "text": top + BAR - 5, "middle": top + BAR // 2}
        bar |= {"items": ", ".join(row.bench_items), "dug": row.dug, "kept": row.kept, "width": None}
        if row.interval is not None:
            bar["width"] = round(row.interval.share * ACROSS, 1)
            bar["low"] = round(LEFT + row.interval.low * ACROSS, 1)
            bar["high"] = round(LEFT + row.interval.high * ACROSS, 1)
        bars.append(bar)
    bottom = TOP + len(rows) * (BAR + GAP)
    ticks = [
        {"x": LEFT + percent * ACROSS // 100, "words": f"{percent} %"} for percent in (0, 25, 50, 75, 100)
    ]
    return {"bars": bars, "ticks": ticks, "bottom": bottom, "height": bottom + 24, "left": LEFT, "bar": BAR}
