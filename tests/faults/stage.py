"""Who takes part in the fault runs, and what each run finds when it begins."""

from dataclasses import dataclass, field
from datetime import time, timedelta
from random import Random
from typing import Any
from uuid import UUID, uuid4

from django.utils.timezone import now

from finds.actions import propose_hand_over, record_find
from finds.models import Find, HandOver
from hunts.actions import log_hole
from hunts.models import Hole, Hunt
from people.models import User
from people.rights import Role
from permissions.models import Landholder, LandholderLink, Permission, Site
from permissions.states import State
from reports.models import PaperSigner, SignatureRequest
from tests import make, make_cases, make_field, make_settlement
from tests.browser.server_world import session_of

PLACES = 4
ROW = 12
"""Sites of runs lie a kilometre apart, so many in a row: what is near a find is of its own run."""
RING = make_cases.RING | {"materials": {"silver": 91}, "facts": {}}


@dataclass
class Cast:
    """Everybody with a session of their own; the same for all runs against one database."""

    secretary: User
    leader: User
    committee: list[User]
    members: list[User]
    sessions: dict[int, str] = field(default_factory=dict)

    def sign_in(self) -> None:
        """Anew, where the clock has jumped past the end of a sign-in."""
        people = [self.secretary, self.leader, *self.committee, *self.members]
        self.sessions = {person.pk: session_of(person) for person in people}

    def session(self, person: User | None) -> str:
        return self.sessions[person.pk] if person else ""


def cast() -> Cast:
    make.club()
    made = Cast(
        make.person(Role.SECRETARY, name="Sal Marram"),
        make.person(Role.LEADER, name="Len Groyne"),
        [make.person(Role.COMMITTEE, name=name) for name in ("Cora Boulder", "Cal Shingle")],
        [make.person(name=f"Member {letter}") for letter in "ABCDEF"],
    )
    made.sign_in()
    return made


@dataclass
class Stage:
    """What one run plays on: all of it new, so that runs do not meet."""

    cast: Cast
    rng: Random
    owner: Landholder
    link: LandholderLink
    site: Site
    permission: Permission
    hunt: Hunt
    coming: Hunt
    planned: Hunt
    past: Hunt
    holes: list[Hole]
    finds: list[Find]
    hand_overs: list[HandOver]
    request: SignatureRequest
    signers: list[PaperSigner]

    def key(self) -> UUID:
        return UUID(int=self.rng.getrandbits(128), version=4)

    def member(self) -> User:
        """Somebody who is out on the hunt."""
        return self.rng.choice(self.cast.members[:4])

    def place(self) -> tuple[float, float]:
        """Somewhere on the site: latitude and longitude."""
        step = self.rng.uniform(-0.0004, 0.0004)
        lat, lon = inside(self.site)
        return lat + step, lon - step

    def position(self) -> dict[str, Any]:
        """The same, as a phone says it."""
        lat, lon = self.place()
        return make_field.INSIDE | {"lat": lat, "lon": lon}


def inside(site: Site) -> tuple[float, float]:
    """A place on the ground: latitude and longitude."""
    return site.min_lat + 0.0007, site.min_lon + 0.0012


def _site(owner: Landholder, cast: Cast) -> Site:
    down, across = divmod(Site.objects.count(), ROW)
    west, south = 0.15 + 0.02 * across, 53.6 + 0.01 * down
    east, north = west + 0.003, south + 0.0018
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    edges = {"min_lon": west, "min_lat": south, "max_lon": east, "max_lat": north}
    boundary = {"type": "MultiPolygon", "coordinates": [[ring]]}
    return make.site(owner=owner, by=cast.secretary, boundary=boundary, **edges)


def set_stage(cast: Cast, rng: Random) -> Stage:
    owner = make.landholder(name="Ada Warp", email="ada@saltmere.example")
    link = LandholderLink.objects.create(
        landholder=owner, made_at=now(), made_by=cast.secretary, expires_at=now() + timedelta(30)
    )
    site = _site(owner, cast)
    permission = make.permission(site)
    all_day: dict[str, Any] = {"leader": cast.leader, "starts_at": time(0), "ends_at": time(23, 59)}
    hunt = make.hunt(site, permission_=permission, state="running", started_at=now(), **all_day)
    for person in cast.members[:4]:
        make.attendance(hunt, person, signed_in_at=now() - timedelta(days=2))  # before any jump of the clock
    coming = make.hunt(site, permission_=permission, on=make.days(7), capacity=PLACES, leader=cast.leader)
    planned = make.hunt(site, permission_=permission, on=make.days(9), state="planned", leader=cast.leader)
    past = make.hunt(site, permission_=permission, on=make.days(-7), state="closed", **all_day)
    make.sign_up(past, cast.members[0])
    holes = [_hole(hunt, person) for person in cast.members[:3]]
    finds = [_find(hunt, person) for person in (*cast.members[:4], cast.members[0])]
    asked = make.permission(site, consents=False, state=State.ASKED)
    return Stage(
        cast, rng, owner, link, site, permission, hunt, coming, planned, past, holes,
        [*finds, _find(hunt, cast.members[1], **RING)],
        [_hand_over(find) for find in finds[:2]],
        make.agreement(asked, by=cast.secretary)[0],
        _signers(finds[4], cast.secretary),
    )  # fmt: skip


def _hole(hunt: Hunt, digger: User) -> Hole:
    lat, lon = inside(hunt.sites.all()[0])
    said: dict[str, Any] = {
        "depth_cm": 12,
        "outcome": "scrap",
        "ground": "stubble",
        "position_method": "device",
    }
    where: dict[str, Any] = {"lat": lat, "lon": lon, "accuracy_m": 4.0}
    fields = said | where | {"site": hunt.sites.all()[0], "digger": digger, "dug_at": now()}
    return log_hole(hunt.pk, by=digger, at=now(), client_id=uuid4(), **fields)


def _find(hunt: Hunt, finder: User, **more: Any) -> Find:
    lat, lon = inside(hunt.sites.all()[0])
    said: dict[str, Any] = {
        "object_type": "button",
        "is_coin": "no",
        "materials": {},
        "position_method": "device",
    }
    where: dict[str, Any] = {"lat": lat, "lon": lon, "accuracy_m": 4.0}
    fields = said | where | {"site": hunt.sites.all()[0], "finder": finder, "found_at": now()} | more
    return record_find(hunt.pk, by=finder, at=now(), client_id=uuid4(), **fields)


def _hand_over(find: Find) -> HandOver:
    said = {"to_holder": "club", "to_name": "The club's store", "purpose": "to be cleaned"}
    return propose_hand_over([find.pk], by=find.finder, at=now(), client_id=uuid4(), **said)


def _signers(find: Find, by: User) -> list[PaperSigner]:
    sheet = make_settlement.sheet([make_settlement.valued(find, "800", by=by)], by=by)
    make_settlement.sent(sheet, by=by)
    return make_settlement.signers(sheet)
