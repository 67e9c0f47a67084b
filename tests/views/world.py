"""One small world in which every address of the access matrix has something to show."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils.timezone import now

from people.models import User
from people.rights import Role
from permissions.models import LandholderLink
from tests import make


@dataclass
class World:
    """`leader` leads `hunt`; `member` is signed up, dug `hole` and found `find`; `case` is about a locked find."""

    secretary: User
    leader: User
    member: User
    committee: User
    stranger: User
    landholder: Any
    site: Any
    permission: Any
    consent: Any
    hunt: Any
    sign_up: Any
    attendance: Any
    hole: Any
    find: Any
    link: LandholderLink
    expired_link: LandholderLink

    def reader(self, name: str) -> User | None:
        return getattr(self, name) if name in {"secretary", "leader", "member", "committee", "stranger"} else None


def build() -> World:
    make.club()
    secretary = make.person(Role.SECRETARY, name="Sal Marram")
    leader = make.person(Role.LEADER, name="Len Groyne")
    member = make.person(name="Mo Samphire")
    committee = make.person(Role.COMMITTEE, name="Cora Boulder")
    stranger = make.person(member=False, name="Stan Drifter")
    landholder = make.landholder(name="Ada Warp", email="ada@saltmere.example")
    site = make.site(owner=landholder, by=secretary)
    permission = make.permission(site)
    hunt = make.hunt(site, leader=leader, permission_=permission, state="running", started_at=now())
    attendance = make.attendance(hunt, member)
    hole = make.hole(hunt, member)
    find = make.find(hunt, member, hole=hole)
    link = LandholderLink.objects.create(
        landholder=landholder, made_at=now(), made_by=secretary, expires_at=now() + timedelta(30)
    )
    expired = LandholderLink.objects.create(
        landholder=landholder, made_at=now() - timedelta(60), made_by=secretary, expires_at=now() - timedelta(1)
    )
    return World(
        secretary=secretary,
        leader=leader,
        member=member,
        committee=committee,
        stranger=stranger,
        landholder=landholder,
        site=site,
        permission=permission,
        consent=permission.consents.all()[0],
        hunt=hunt,
        sign_up=attendance.sign_up,
        attendance=attendance,
        hole=hole,
        find=find,
        link=link,
        expired_link=expired,
    )
