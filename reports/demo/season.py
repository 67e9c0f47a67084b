"""Thirty hunts of the season: planned, dug, filled and closed through the actions that the pages use."""

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from random import Random
from typing import Any

from django.db import transaction
from django.utils.timezone import localdate, make_aware

from finds.actions.photos import PreparedPhoto
from finds.actions.record_many import NewFind, record_finds
from hunts import actions
from hunts.actions.holes_many import NewHole, log_holes
from hunts.actions.photos import PreparedHolePhoto
from hunts.errors import HuntError
from hunts.models import Attendance, Hole, Hunt
from people.models import User
from permissions.models import Site
from reports.demo import walks
from reports.demo.ground import point_in
from reports.demo.land import Land, client_id
from reports.demo.objects import pick, record_of
from reports.demo.pictures import hole_photo, object_photo

# Day of each closed hunt, counted back from today, and which holding it was on.
PAST = [(248 - 10 * n, n % 6) for n in range(25)]
COMING = [(0, 0), (3, 1), (10, 2), (17, 3), (31, 5)]
BRIEFING = (
    "Stay inside the hedges; the margins are no-go. Gates as found. Nothing deeper than 30 cm. Fill every hole "
    "and tread it flush. Bones, shells or several objects together: stop, cover, call me. Finds to the table "
    "before you leave."
)
OUTCOMES, OFTEN = ["find", "scrap", "iron", "nothing"], [40, 30, 20, 10]
WORDS = [
    "A dry day with a light wind. The stubble was short and everybody was back at the gate by four.",
    "Wet underfoot by the ditch, so we kept to the higher half of the field.",
    "We walked the length of the field in lanes. Quiet, but a tidy spread of buttons along the old path.",
]


@dataclass(slots=True)
class Cast:
    secretary: User
    leader: User
    everybody: list[User]

    @property
    def by_key(self) -> dict[int, User]:
        """Everybody by primary key, so that one person's rights are read once."""
        return {user.pk: user for user in (self.secretary, self.leader, *self.everybody)}


@dataclass(frozen=True, slots=True)
class Dug:
    """A hole to log, whether the leader looked at it when it was filled, and what came out of it."""

    hole: NewHole
    is_checked: bool
    find: NewFind | None


def moment(today_at: datetime, days: int, hour: int, minute: int = 0) -> datetime:
    return make_aware(datetime.combine(localdate(today_at) + timedelta(days), time(hour, minute)))


def plan(land: Land, days: int, cast: Cast, at: datetime, rng: Random, **fields: Any) -> Hunt:
    """Plan a hunt `days` from today on up to two fields of the holding, three weeks before."""
    planned_at = min(moment(at, days, 8) - timedelta(21), at - timedelta(hours=1))
    open_now = [site for site in land.sites if days < -4 or site.field_states.all()[0].effect == "open"]
    sites = rng.sample(open_now, k=min(2, len(open_now)))
    values = {
        "title": f"{sites[0].name} and round about",
        "on": localdate(at) + timedelta(days),
        "starts_at": time(9),
        "ends_at": time(16),
        "leader": cast.leader,
        "capacity": min(12, land.permission.max_heads or 12),
        "meeting_point": f"{land.holding.name}, the yard gate",
        "briefing": BRIEFING,
        "told_at": planned_at + timedelta(minutes=30),
    } | fields
    return actions.plan_hunt(
        land.permission, sites, by=cast.secretary, at=planned_at, client_id=client_id(rng), **values
    )


def open_and_sign_up(hunt: Hunt, cast: Cast, at: datetime, rng: Random, *, heads: int) -> None:
    """Open sign-up (asking the farm where the gate says so) and let people come."""
    opened = min(moment(at, 0, 8), make_aware(datetime.combine(hunt.on, time(8)))) - timedelta(14)
    actions.open_hunt(
        hunt.pk, by=cast.leader, at=opened, asked=True, words="Rang the farm: come, keep off the drilled end."
    )
    regular = cast.everybody[0]  # the member of the demo's log-ins has a whole season to learn from
    for person in [regular, *rng.sample(cast.everybody[1:], k=heads)]:
        try:
            actions.sign_up(
                hunt.pk,
                by=person,
                at=opened + timedelta(hours=rng.randrange(1, 200)),
                client_id=client_id(rng),
            )
        except HuntError:
            continue  # a card that ends before the day: that person stays at home


@transaction.atomic
def past_hunt(days: int, land: Land, cast: Cast, at: datetime, rng: Random) -> Hunt:
    """A whole day that is over: in, dug, filled, checked, out, closed."""
    hunt = plan(land, -days, cast, at, rng)
    open_and_sign_up(hunt, cast, at, rng, heads=rng.randrange(6, 12))
    hunt.refresh_from_db()
    sweep = walks.plan_sweep(hunt, cast.leader, moment(at, -days - 1, 19))
    run(hunt, land, cast, at, rng, -days)
    came = _everybody_out(hunt, cast, moment(at, -days, 15, 45))
    left_open = hunt.holes.filter(state="dug").exists()
    why = "One plug was missed at dusk; the digger goes back on Sunday." if left_open else ""
    actions.change_hunt(hunt.pk, by=cast.leader, at=moment(at, -days, 16), leader_report=rng.choice(WORDS))
    actions.close_hunt(hunt.pk, by=cast.leader, at=moment(at, -days, 16, 10), counted=came, unfilled_why=why)
    walks.give_tracks(hunt, sweep, cast.leader, cast.by_key, moment(at, -days, 19))
    hunt.refresh_from_db()
    return hunt


def run(hunt: Hunt, land: Land, cast: Cast, at: datetime, rng: Random, days: int, until: int = 15) -> None:
    """Start, roll call, holes and finds until the hour `until`."""
    actions.start_hunt(hunt.pk, by=cast.leader, at=moment(at, days, 8, 45))
    standing, people = list(hunt.sign_ups.standing()), cast.by_key
    sites = [(site, _is_grass(site)) for site in hunt.sites.all()]
    actions.hear_briefing(hunt.pk, [row.pk for row in standing], by=cast.leader, at=moment(at, days, 8, 50))
    dug: list[Dug] = []
    for row in standing:
        actions.sign_in(row.pk, by=cast.leader, at=moment(at, days, 8, 55))
        for _ in range(rng.randrange(2, 7)):
            when = moment(at, days, rng.randrange(9, until), rng.randrange(60))
            if when < at:
                dug.append(_hole(sites, land, people[row.user_id], when, cast, rng))
    _keep(hunt, dug, cast)


def _keep(hunt: Hunt, dug: list[Dug], cast: Cast) -> None:
    """Log the holes of the day, check those that the leader looked at, and record what came out of them."""
    holes = log_holes(hunt.pk, [each.hole for each in dug])
    for hole, each in zip(holes, dug, strict=True):
        if each.is_checked:
            actions.check_hole(hole.pk, by=cast.leader, at=each.hole.at + timedelta(minutes=30))
    finds = [_from_hole(hole, each.find) for hole, each in zip(holes, dug, strict=True) if each.find]
    record_finds(hunt.pk, finds)


def _from_hole(hole: Hole, find: NewFind) -> NewFind:
    return replace(find, fields=find.fields | {"hole": hole, "land_use": hole.get_ground_display().lower()})


def _everybody_out(hunt: Hunt, cast: Cast, when: datetime) -> int:
    rows = Attendance.objects.filter(sign_up__hunt=hunt)
    for row in rows:
        actions.sign_out(row.sign_up_id, by=cast.leader, at=when)
    return len(rows)


def _hole(
    sites: list[tuple[Site, bool]], land: Land, digger: User, when: datetime, cast: Cast, rng: Random
) -> Dug:
    """`sites`: each with whether it is under grass."""
    site, is_grass = rng.choice(sites)
    lon, lat = point_in(land.fields[site.pk].shape, rng)
    outcome = rng.choices(OUTCOMES, OFTEN)[0]
    place: dict[str, Any] = {
        "lon": lon,
        "lat": lat,
        "accuracy_m": round(rng.uniform(3, 8), 1),
        "position_method": "device",
    }
    pictures = _hole_photos(rng) if rng.random() < 0.06 else []
    key, filled = client_id(rng), rng.random() > 0.004
    fields = place | {
        "site": site,
        "digger": digger,
        "dug_at": when,
        "depth_cm": rng.randrange(5, 28),
        "ground": "pasture" if is_grass else "stubble",
        "outcome": outcome,
        "target_id": target_id(outcome, rng),
    }
    hole = NewHole(by=digger, at=when, client_id=key, fields=fields, filled=filled, photos=pictures)
    is_checked = filled and digger.pk != cast.leader.pk and rng.random() < 0.3
    find = _find(hole, place, rng) if outcome == "find" else None
    return Dug(hole, is_checked, find)


def _is_grass(site: Site) -> bool:
    return bool(site.field_states.all()[0].crop == "grass")


def target_id(outcome: str, rng: Random) -> int:
    """Numbers as a made-up scale of 0 to 99 might show them; iron low, coins high."""
    middle, spread = {"find": (68, 12), "scrap": (52, 18), "iron": (22, 9), "nothing": (40, 20)}[outcome]
    return max(0, min(99, round(rng.gauss(middle, spread))))


def _hole_photos(rng: Random) -> list[PreparedHolePhoto]:
    return [PreparedHolePhoto(hole_photo(stage, rng), stage) for stage in ("open", "after")]


def _find(hole: NewHole, place: dict[str, Any], rng: Random) -> NewFind:
    kind = pick(rng)
    photos = (
        [PreparedPhoto(object_photo(kind.shape, kind.material, rng), "face", has_scale=True)]
        if rng.random() < 0.35
        else []
    )
    key = client_id(rng)
    fields = place | {
        "finder": hole.by,
        "site": hole.fields["site"],
        "found_at": hole.at,
        "depth_cm": hole.fields["depth_cm"],
        "placing": "inside",
    }
    return NewFind(
        by=hole.by,
        at=hole.at + timedelta(minutes=5),
        client_id=key,
        materials={kind.material: None},
        fields=fields | record_of(kind, rng),
        photos=photos,
    )
