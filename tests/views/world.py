"""One small world in which every address of the access matrix has something to show."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from django.db import transaction
from django.utils.timezone import localdate, now

from finds.actions.custody import first_holder
from finds.actions.screening import screen_find
from finds.models import FindMaterial
from people.models import Contact, User
from people.rights import Role
from permissions.models import LandholderLink
from reports.actions import issue_report
from reports.drafts import Draft, draft_for_case, draft_for_hunt
from reports.models import Kind, LandholderAnswer
from reports.package import write_package
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
    contact: Any
    photo: Any
    locked: Any
    others_locked: Any
    locked_photo: Any
    case: Any
    screening: Any
    rescreening: Any
    returns: Any
    heritage: Any
    answer: Any
    sign_request: Any
    expired_request: Any

    def reader(self, name: str) -> User | None:
        return (
            getattr(self, name)
            if name in {"secretary", "leader", "member", "committee", "stranger"}
            else None
        )


@contextmanager
def standing(blocker: Any, arrange: Callable[[], Any]) -> Iterator[Any]:
    """What all tests of a module begin with, made once inside a transaction that is taken back."""
    with blocker.unblock(), transaction.atomic():
        yield arrange()
        transaction.set_rollback(True)


def shared_world(arrange: Callable[[], World]) -> tuple[Any, Any]:
    """Two fixtures for a module whose tests all begin with the world that `arrange` makes.

    It is made once, and each test gets a copy: what a test does to the objects stays with it, as what it writes does.
    """

    @pytest.fixture(scope="module")
    def standing_world(django_db_setup: None, django_db_blocker: Any) -> Iterator[World]:
        with standing(django_db_blocker, arrange) as made:
            yield made

    @pytest.fixture
    def world(standing_world: World, db: None) -> World:
        return deepcopy(standing_world)

    return standing_world, world


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
        landholder=landholder,
        made_at=now() - timedelta(60),
        made_by=secretary,
        expires_at=now() - timedelta(1),
    )
    photo = make.find_photo(find)
    screen_find(find, by=member, at=now())
    locked = hoard(hunt, member)
    others_locked = hoard(hunt, leader)
    case = locked.cases.all()[0]
    returns = _issued(
        Kind.RETURNS,
        draft_for_hunt(Kind.RETURNS, hunt, landholder, on=localdate()),
        secretary,
        hunt,
        landholder,
    )
    heritage = _issued(Kind.HERITAGE, draft_for_case(case, by=committee, at=now()), committee, case=case)
    answer = LandholderAnswer.objects.create(
        landholder=landholder, link=link, what="concern", words="a gate", at=now()
    )
    sign_request, expired_request = make.sign_requests(permission, by=secretary)
    return World(
        sign_request=sign_request,
        expired_request=expired_request,
        contact=Contact.objects.create(kind="police", name="Control room", phone="101"),
        photo=photo,
        locked=locked,
        others_locked=others_locked,
        locked_photo=make.find_photo(others_locked),
        case=case,
        screening=find.screenings.all()[0],
        rescreening=make.rescreening(locked, by=committee),
        returns=returns,
        heritage=heritage,
        answer=answer,
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


def hoard(hunt: Any, finder: User) -> Any:
    """A lot of silver coins more than 300 years old: Treasure Act 1996 s.1(1)(a)(ii), so it locks."""
    find = make.find(
        hunt,
        finder,
        object_type="pennies",
        is_coin="yes",
        count=3,
        year_from=1205,
        year_to=1247,
        facts={"same_find": "yes"},
    )
    FindMaterial.objects.create(find=find, material="silver", share_percent=92)
    first_holder(find, by=finder, at=now())
    screen_find(find, by=finder, at=now())
    find.refresh_from_db()
    assert find.locked
    return find


def _issued(
    kind: Kind, draft: Draft, by: User, hunt: Any = None, landholder: Any = None, case: Any = None
) -> Any:
    pdf = b"%PDF-1.7 test"
    about: dict[str, Any] = {"by": by, "at": now(), "hunt": hunt, "landholder": landholder, "case": case}
    if draft.case_facts is None:
        return issue_report(kind, draft, pdf, **about)
    with write_package(draft.report, draft.case_facts, pdf) as package:
        return issue_report(kind, draft, pdf, package=package, **about)
