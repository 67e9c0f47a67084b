"""The demo's machines, set-ups and bench tests, and the field work round a season: risks, second looks, scrap."""

from datetime import datetime, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from django.utils.timezone import localdate

from hunts import actions
from hunts.models import Hole, Hunt, Kit
from hunts.models.bench import DISTANCES, Item, Orientation
from hunts.models.hole import Ground
from hunts.rechecks import EARLIEST_DAYS, LATEST_DAYS
from hunts.states import HoleState, HuntState
from people.models import User
from reports.demo.land import client_id
from reports.demo.season import moment

SEED = 1607  # a year of another great flood; its own, so that the season does not change with the kit
MODE = "Field two"
# What each item shows on the made-up scale of 0 to 99 that the season's holes use: iron low, coins high.
SHOWS = {
    Item.SILVER_THIN: 62,
    Item.COPPER_SMALL: 66,
    Item.COPPER_LARGE: 82,
    Item.LEAD_SHOT: 50,
    Item.GOLD_RING: 47,
    Item.NAIL: 16,
    Item.FOIL: 34,
    Item.CAN_SLUG: 57,
}
UNHEARD = {(Item.SILVER_THIN, 10, Orientation.EDGE), (Item.FOIL, 10, Orientation.EDGE)}


def make_kits(people: list[User], at: datetime) -> None:
    """A machine each, bench-tested, with its set-up and a ground reading on every hunt that person was on."""
    rng = Random(SEED)  # noqa: S311 - a repeatable demo, not a secret
    for person in people:
        kit = _kit(person, at, rng)
        bench_test(kit, person, at - timedelta(260), rng)
        charge = 100
        for hunt in _hunts_of(person):
            charge = _set_up(hunt, kit, person, charge, at, rng)


def _kit(person: User, at: datetime, rng: Random) -> Kit:
    return actions.add_kit(
        by=person,
        at=at - timedelta(270),
        client_id=client_id(rng),
        name="Field machine",
        machine="Bought second-hand, five years old",
        coil_shape="dd long",
        coil_length_cm=28.0,
        coil_width_cm=23.0,
        frequency="multi",
        battery_hours=14.0,
        ground_scale="phase 0 to 99",
    )


def bench_test(kit: Kit, person: User, at: datetime, rng: Random) -> None:
    """The whole fixed set at both distances, each way up, three readings each."""
    for item, middle in SHOWS.items():
        for distance, _ in DISTANCES:
            for way in Orientation:
                actions.log_bench(
                    kit.pk,
                    by=person,
                    at=at,
                    client_id=client_id(rng),
                    item=item,
                    mode=MODE,
                    distance_cm=distance,
                    orientation=way,
                    **_readings(item, distance, way, middle, rng),
                )


def _readings(item: Item, distance: int, way: Orientation, middle: int, rng: Random) -> dict[str, Any]:
    if (item, distance, way) in UNHEARD:
        return {"heard": False, "first": None, "second": None, "third": None}
    lower = 4 if way is Orientation.EDGE else 0
    three = [max(0, min(99, round(rng.gauss(middle - lower, 2.5)))) for _ in range(3)]
    return {"heard": True, **dict(zip(("first", "second", "third"), three, strict=True))}


def _hunts_of(person: User) -> list[Hunt]:
    return list(
        Hunt.objects.filter(
            sign_ups__user=person,
            sign_ups__attendance__isnull=False,
            state__in=[HuntState.CLOSED, HuntState.RUNNING],
        ).order_by("on")
    )


def _set_up(hunt: Hunt, kit: Kit, person: User, charge: int, at: datetime, rng: Random) -> int:
    """The set-up of one day and what the ground read; returns the charge that is left for the next."""
    days = (hunt.on - localdate(at)).days
    when = min(moment(at, days, 8, 58), at)
    start = 100 if charge < 60 else charge
    closed = hunt.state == HuntState.CLOSED
    end = start - rng.randrange(36, 46) if closed else None
    actions.log_set_up(
        hunt.pk,
        by=person,
        at=at,
        client_id=client_id(rng),
        kit=kit,
        set_at=when,
        mode=MODE,
        sensitivity=str(rng.choice([20, 21, 22])),
        recovery_speed="4",
        discrimination="iron reject 2",
        battery_start=start,
        battery_end=end,
        hours=6.0 if closed else None,
    )
    actions.log_ground(
        hunt.pk,
        by=person,
        at=at,
        client_id=client_id(rng),
        kit=kit,
        read_at=when,
        environment=rng.choice(["arable", "arable", "clay"]),
        value=Decimal(rng.randrange(52, 71)),
        scale="phase 0 to 99",
    )
    return start if end is None else end


def make_field_work(leader: User, everybody: list[User], at: datetime) -> None:
    """Risks for the coming hunts, second looks at holes on grass, scrap weighed, and one person out alone now."""
    rng = Random(SEED + 1)  # noqa: S311 - a repeatable demo, not a secret
    for hunt in Hunt.objects.filter(state__in=[HuntState.OPEN, HuntState.RUNNING]).order_by("on"):
        _assess(hunt, leader, at, rng)
    for hunt in Hunt.objects.filter(state=HuntState.CLOSED).order_by("on"):
        weight = Decimal(rng.randrange(40, 900)) / 100
        actions.weigh_scrap(hunt.pk, by=leader, at=min(hunt.finishes, at), scrap_kg=weight)
    _look_again(leader, at, rng)
    actions.go_out_alone(
        by=everybody[7],
        at=at,
        client_id=client_id(rng),
        where="Ravensand foreshore below the old lane; car at the lane end",
        out_at=at - timedelta(hours=1),
        due_back=at + timedelta(hours=2),
        tide="Low 12:40, high 18:55",
        contact_name="Home",
        contact_phone="01632 960177",
        contact_email="",
    )


def _assess(hunt: Hunt, leader: User, at: datetime, rng: Random) -> None:
    usual = ["ground", "vehicles", "stock", "services", "sharps", "lead", "ordnance", "weather", "alone"]
    for site in hunt.sites.order_by("code"):
        made = actions.start_assessment(
            hunt.pk, site, by=leader, at=at, client_id=client_id(rng), codes=usual, review_on=hunt.on
        )
        if hunt.state == HuntState.RUNNING:
            actions.agree_assessment(made.pk, by=leader, at=at)


def _look_again(leader: User, at: datetime, rng: Random) -> None:
    """Everything on grass that is more than four weeks old was looked at in its third week; the rest is still due."""
    rows = Hole.objects.filter(
        ground=Ground.PASTURE,
        state__in=[HoleState.FILLED, HoleState.CHECKED],
        filled_at__lt=at - timedelta(LATEST_DAYS),
    )
    for hole in rows.exclude(outcome="stopped").order_by("pk"):
        when = (hole.filled_at or at) + timedelta(EARLIEST_DAYS + rng.randrange(1, 10))
        actions.recheck_hole(hole.pk, by=leader, at=when, client_id=client_id(rng), sound=True)
