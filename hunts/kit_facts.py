"""Everything about a person's kit at once: batteries, care lists, what ground was met. A fixed number of queries."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.timezone import localdate

from hunts.care import CareDue, care_due
from hunts.models import CareTick, GroundReading, Hole, Hunt, Kit, SetUp
from hunts.models.hole import Ground
from hunts.nudges import SALT, BatteryUse, Environment, Leg, Met, balance_nudge, battery_use
from people.models import User

ENVIRONMENT_OF = {
    Ground.STUBBLE: Environment.ARABLE,
    Ground.PLOUGH: Environment.ARABLE,
    Ground.DRILLED: Environment.ARABLE,
    Ground.PASTURE: Environment.PASTURE,
    Ground.WOOD: Environment.WOODLAND,
    Ground.BEACH_DRY: Environment.DRY_SAND,
    Ground.BEACH_WET: Environment.WET_SAND,
}
"""What a hole's ground says about where the coil was."""

# A reading says more than a hole: these are kinds of soil within the land use that a hole names.
_WITHIN = {
    Environment.ARABLE: {Environment.CLAY, Environment.MINERALISED},
    Environment.PASTURE: {Environment.CLAY, Environment.MINERALISED},
    Environment.WOODLAND: {Environment.CLAY, Environment.MINERALISED},
    Environment.WET_SAND: {Environment.MINERALISED},
    Environment.DRY_SAND: {Environment.MINERALISED},
}


@dataclass(frozen=True, slots=True)
class KitState:
    """One kit with its battery, the care that is due, and the day it was last out."""

    kit: Kit
    battery: BatteryUse
    care: list[CareDue]
    used_on: date | None


def kit_states(user: User, *, on: date, kits: Iterable[Kit] | None = None) -> list[KitState]:
    """The state of each kit of `user` (or of `kits`) on `on`; five queries however many there are."""
    rows = list(Kit.objects.visible_to(user) if kits is None else kits)
    set_ups: defaultdict[int, list[SetUp]] = defaultdict(list)
    for row in SetUp.objects.visible_to(user).select_related("hunt").order_by("set_at", "pk"):
        set_ups[row.kit_id].append(row)
    readings: defaultdict[int, list[GroundReading]] = defaultdict(list)
    for reading in GroundReading.objects.visible_to(user):
        readings[reading.kit_id].append(reading)
    wet = Hole.objects.visible_to(user).filter(digger=user, ground=Ground.BEACH_WET)
    wet_hunts = set(wet.values_list("hunt_id", flat=True))
    ticks: defaultdict[int, dict[tuple[str, date, str], date]] = defaultdict(dict)
    for tick in CareTick.objects.visible_to(user):
        ticks[tick.kit_id][tick.occasion, tick.since, tick.task] = tick.done_on
    return [_state(kit, set_ups[kit.pk], readings[kit.pk], wet_hunts, ticks[kit.pk], on) for kit in rows]


def _state(
    kit: Kit,
    set_ups: list[SetUp],
    readings: list[GroundReading],
    wet_hunts: set[int],
    ticked: dict[tuple[str, date, str], date],
    on: date,
) -> KitState:
    legs = [Leg(row.battery_start, row.battery_end, row.hours) for row in set_ups]
    salty = [localdate(row.read_at) for row in readings if row.environment in SALT]
    salty += [row.hunt.on for row in set_ups if row.hunt_id in wet_hunts]
    used = [localdate(row.set_at) for row in set_ups] + [localdate(row.read_at) for row in readings]
    used_on = max(used, default=None)
    care = (
        []
        if kit.retired_on
        else care_due(salt_on=max(salty, default=None), used_on=used_on, ticked=ticked, on=on)
    )
    return KitState(kit, battery_use(legs, kit.battery_hours), care, used_on)


def nudge_for(hunt: Hunt, user: User, *, at: datetime) -> str:
    """Is it time to balance again? From this person's readings and holes of the hunt, in two queries."""
    readings = list(GroundReading.objects.visible_to(user).filter(hunt=hunt))
    met = [Met(Environment(row.environment), row.read_at, True) for row in readings]
    holes = Hole.objects.visible_to(user).filter(hunt=hunt, digger=user).exclude(ground=Ground.OTHER)
    for ground, dug_at in holes.values_list("ground", "dug_at"):
        met.append(Met(_as_read(ENVIRONMENT_OF[Ground(ground)], dug_at, readings), dug_at, False))
    return balance_nudge(met, at=at) if met else ""


def _as_read(environment: Environment, at: datetime, readings: list[GroundReading]) -> Environment:
    """A hole in arable after a reading on clay is no change of ground: the reading names the soil within it."""
    before = [row for row in readings if row.read_at <= at]
    last = Environment(before[-1].environment) if before else None
    return last if last in _WITHIN.get(environment, set()) and last is not None else environment
