"""Today looks ahead: the gate before planned hunts, notice to give, checks going stale, signatures awaited."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now

from hunts.actions.plan import keep_gate
from hunts.gate import gate_now
from hunts.models import Hunt
from people.models import User
from permissions.models import ProtectedCheck, Site, SiteParty
from reports.models import SignatureRequest
from reports.today import today_for
from tests import make
from tests.today import items_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(secretary: User) -> Site:
    make.club()
    return make.site(by=secretary)


def lines(user: User, section: str) -> list[str]:
    """What the section says to this person, each line with its status."""
    return [f"{item.status}: {item.title}: {item.words}" for item in items_of(user, section)]


GATE = "The gate before planned hunts"


def planned(site: Site, leader: User, **fields: object) -> Hunt:
    hunt = make.hunt(
        site, leader=leader, **({"on": make.days(10), "state": "planned", "told_at": now()} | fields)
    )
    keep_gate(hunt, gate_now(hunt, at=now()), at=now())
    hunt.save()
    return hunt


def test_a_gate_that_shuts_before_a_planned_hunt_is_shown_to_those_who_plan(
    site: Site, leader: User, secretary: User, member: User, committee: User
) -> None:
    planned(site, leader)
    assert lines(leader, GATE) == []
    site.closed_periods.create(reason="lambing", starts=make.days(9), ends=make.days(12))
    for who in (leader, secretary):
        (line,) = lines(who, GATE)
        assert line.startswith("late")
        assert "gate shut" in line
        assert "lambing" in line
    assert lines(member, GATE) == []
    assert lines(committee, GATE) == []


def test_a_gate_that_opens_after_planning_says_that_sign_up_can_open(site: Site, leader: User) -> None:
    period = site.closed_periods.create(reason="shoot", starts=make.days(9), ends=make.days(12))
    planned(site, leader)
    period.delete()
    assert "the gate is open now" in lines(leader, GATE)[0]


def test_an_ask_that_was_answered_is_not_asked_again(site: Site, leader: User) -> None:
    site.closed_periods.create(reason="game", starts=make.days(9), ends=make.days(12), effect="ask")
    hunt = planned(site, leader)
    assert "ask first" in lines(leader, GATE)[0]
    said = gate_now(hunt, at=now())
    keep_gate(hunt, said, at=now(), asked={"words": "rang Ada", "by": "Len", "at": "", "key": said.key})
    hunt.save()
    assert lines(leader, GATE) == []


NOTICE = "Notice to give"


def test_notice_that_the_terms_ask_for_is_shown_until_it_is_given(site: Site, leader: User) -> None:
    permission = make.permission(site, notice_hours=48, notice_to="Ada Warp")
    hunt = planned(site, leader, permission_=permission, told_at=None)
    assert "tell Ada Warp by" in lines(leader, NOTICE)[0]
    assert lines(leader, GATE) == []  # notice alone is not said twice
    Hunt.objects.filter(pk=hunt.pk).update(told_at=now())
    assert lines(leader, NOTICE) == []


def test_those_who_are_only_told_are_not_forgotten(site: Site, leader: User) -> None:
    planned(site, leader, told_at=None)
    assert lines(leader, NOTICE) == []
    SiteParty.objects.create(site=site, landholder=make.landholder(), capacity="sporting_tenant")
    assert "soon" in lines(leader, NOTICE)[0]


def test_notice_that_is_too_late_says_so(site: Site, leader: User) -> None:
    permission = make.permission(site, notice_hours=72)
    planned(site, leader, permission_=permission, told_at=None, on=make.days(1))
    assert lines(leader, NOTICE)[0].startswith("late")


CHECKS = "Protected places to check again"


@pytest.mark.parametrize(
    ("age", "status"), [(30, ""), (320, ""), (321, "soon"), (365, "soon"), (366, "late")]
)
def test_a_check_is_asked_for_again_before_it_is_a_year_old(
    site: Site, secretary: User, leader: User, age: int, status: str
) -> None:
    """A clear result goes stale after a year: facts/trade.md 1.4 (yearly)."""
    make.permission(site)
    ProtectedCheck.objects.update(checked_on=make.days(-age))
    shown = lines(secretary, CHECKS)
    assert [line.split(":")[0] for line in shown] == ([status] if status else [])
    assert lines(leader, CHECKS) == []


def test_ground_without_a_check_or_out_of_use(site: Site, secretary: User) -> None:
    make.permission(site)
    ProtectedCheck.objects.all().delete()
    assert "never checked" in lines(secretary, CHECKS)[0]
    Site.objects.update(retired_on=make.days(-1))
    assert lines(secretary, CHECKS) == []


SIGNED = "Signatures awaited"


def test_signatures_are_awaited_declined_or_out_of_time(site: Site, secretary: User, leader: User) -> None:
    permission = make.permission(site, consents=False, state="draft")
    request = make.agreement(permission, by=secretary)[0]
    assert lines(secretary, SIGNED)[0].startswith("soon")
    assert lines(leader, SIGNED) == []
    SignatureRequest.objects.update(declined_at=now(), declined_why="not in spring")
    assert "not in spring" in lines(secretary, SIGNED)[0]
    SignatureRequest.objects.update(declined_at=None, expires_at=now() - timedelta(1))
    assert "send it again" in lines(secretary, SIGNED)[0]
    SignatureRequest.objects.filter(pk=request.pk).update(revoked_at=now())
    assert lines(secretary, SIGNED) == []


def test_twenty_hunts_ask_the_database_as_often_as_one(site: Site, leader: User, secretary: User) -> None:
    people = [User.objects.get(pk=leader.pk), User.objects.get(pk=secretary.pk)]
    permission = make.permission(site, notice_hours=24)
    planned(site, leader, permission_=permission, told_at=None)
    ProtectedCheck.objects.update(checked_on=make.days(-400))
    make.agreement(permission, by=secretary)

    def asked() -> list[int]:
        counts = []
        for person in people:
            with CaptureQueriesContext(connection) as queries:
                groups = today_for(person, at=now())
            counts.append(
                len(queries) - sum(group.more > 0 for group in groups)
            )  # what is cut short is counted
        return counts

    asked()  # rights are worked out once
    one = asked()
    for day in range(19):
        other = make.site(by=secretary)
        more = make.permission(other, notice_hours=24)
        planned(other, leader, permission_=more, told_at=None, on=make.days(4 + day % 9))
        make.agreement(more, by=secretary)
    ProtectedCheck.objects.update(checked_on=make.days(-400))
    assert all(many <= few for many, few in zip(asked(), one, strict=True))
