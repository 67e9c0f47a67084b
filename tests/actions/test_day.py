"""Start, briefing, in and out, close: everybody gets home before a hunt is closed."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from hunts import actions
from hunts.errors import (
    AlreadyClosedError,
    GateShutError,
    HeadCountError,
    NotEligibleError,
    RollCallError,
    StillOutError,
    UnfilledError,
    WrongDayError,
)
from hunts.models import Attendance, Hunt, SignUp
from people.models import AuditEntry, Insurance, User
from permissions.models import Permission
from tests import make
from web.states import IllegalMoveError


@pytest.fixture
def running(leader: User) -> Hunt:
    return make.hunt(leader=leader, state="running", started_at=now())


def test_a_hunt_starts_on_its_day(leader: User) -> None:
    hunt = actions.start_hunt(make.hunt(leader=leader).pk, by=leader, at=now())
    assert hunt.state == "running"
    assert hunt.started_at is not None


@pytest.mark.parametrize("days", [-1, 1])
def test_a_hunt_starts_on_no_other_day(leader: User, days: int) -> None:
    hunt = make.hunt(leader=leader, on=make.days(days))
    with pytest.raises(WrongDayError, match=f"{hunt.on:%-d %b %Y}"):
        actions.start_hunt(hunt.pk, by=leader, at=now())


def test_a_permission_paused_since_refuses_the_start(leader: User) -> None:
    hunt = make.hunt(leader=leader)
    Permission.objects.update(state="paused")
    with pytest.raises(GateShutError, match="paused"):
        actions.start_hunt(hunt.pk, by=leader, at=now())


def test_member_may_not_run_the_day(running: Hunt, member: User) -> None:
    row = make.sign_up(running, member)
    for attempt in (
        lambda: actions.start_hunt(running.pk, by=member, at=now()),
        lambda: actions.sign_in(row.pk, by=member, at=now()),
        lambda: actions.sign_out(row.pk, by=member, at=now()),
        lambda: actions.close_hunt(running.pk, by=member, at=now(), counted=0),
        lambda: actions.hear_briefing(running.pk, [row.pk], by=member, at=now()),
    ):
        with pytest.raises(PermissionDenied):
            attempt()


def test_the_first_hearing_of_the_briefing_stands(running: Hunt, leader: User, member: User) -> None:
    row = make.sign_up(running, member)
    assert actions.hear_briefing(running.pk, [row.pk], by=leader, at=now()) == 1
    first = SignUp.objects.get(pk=row.pk)
    assert first.briefed_by == leader
    assert actions.hear_briefing(running.pk, [row.pk], by=leader, at=now()) == 0
    assert SignUp.objects.get(pk=row.pk).briefed_at == first.briefed_at
    assert AuditEntry.objects.get(verb="hunt.briefing").changes == {"heard": [member.name]}


def test_signing_in_copies_vehicle_and_contact_and_twice_is_once(running: Hunt, leader: User) -> None:
    person = make.person(vehicle="RS54 AND", emergency_contact="Pat, 01964 000001")
    row = make.sign_up(running, person)
    first = actions.sign_in(row.pk, by=leader, at=now())
    assert actions.sign_in(row.pk, by=leader, at=now()) == first
    assert (first.vehicle, first.emergency_contact) == ("RS54 AND", "Pat, 01964 000001")
    assert Attendance.objects.count() == 1


def test_sign_out_before_sign_in_is_refused(running: Hunt, leader: User, member: User) -> None:
    row = make.sign_up(running, member)
    with pytest.raises(RollCallError, match=f"{member.name} has not signed in"):
        actions.sign_out(row.pk, by=leader, at=now())
    actions.sign_in(row.pk, by=leader, at=now())
    with pytest.raises(RollCallError, match="is before that"):
        actions.sign_out(row.pk, by=leader, at=now() - timedelta(hours=1))


def test_somebody_who_comes_back_is_out_again(running: Hunt, leader: User, member: User) -> None:
    came = make.attendance(running, member, signed_out_at=now(), signed_out_by=leader)
    actions.sign_in(came.sign_up_id, by=leader, at=now())
    assert Attendance.objects.get().is_out


def test_the_waiting_list_is_no_place_to_sign_in_to(running: Hunt, leader: User, member: User) -> None:
    row = make.sign_up(running, member, state="waiting")
    with pytest.raises(RollCallError, match="on the waiting list"):
        actions.sign_in(row.pk, by=leader, at=now())


def test_insurance_is_looked_at_again_at_the_gate(running: Hunt, leader: User, member: User) -> None:
    row = make.sign_up(running, member)
    Insurance.objects.filter(user=member).update(ends=make.days(-1))
    with pytest.raises(NotEligibleError, match="insurance ends on"):
        actions.sign_in(row.pk, by=leader, at=now())


def test_closing_names_who_is_still_out(running: Hunt, leader: User, member: User) -> None:
    make.attendance(running, member)
    with pytest.raises(StillOutError, match=f"{member.name} is still out"):
        actions.close_hunt(running.pk, by=leader, at=now(), counted=1)
    running.refresh_from_db()
    assert running.state == "running"


def test_closing_needs_the_head_count_to_equal_the_sign_ins(
    running: Hunt, leader: User, member: User
) -> None:
    make.attendance(running, member, signed_out_at=now(), signed_out_by=leader)
    with pytest.raises(HeadCountError, match="You counted 3, but 1 signed in"):
        actions.close_hunt(running.pk, by=leader, at=now(), counted=3)
    closed = actions.close_hunt(running.pk, by=leader, at=now(), counted=1)
    assert (closed.state, closed.closed_by) == ("closed", leader)


def test_unfilled_holes_need_a_reason_that_is_kept(running: Hunt, leader: User, member: User) -> None:
    for _ in range(2):
        make.hole(running, member)
    with pytest.raises(UnfilledError, match="Holes 1, 2 are not filled"):
        actions.close_hunt(running.pk, by=leader, at=now(), counted=0)
    closed = actions.close_hunt(
        running.pk, by=leader, at=now(), counted=0, unfilled_why="Police keep it open."
    )
    assert closed.unfilled_why == "Police keep it open."
    assert closed.holes.unfilled().count() == 2
    assert AuditEntry.objects.get(verb="hunt.close").changes["unfilled"] == [1, 2]


def test_the_second_of_two_leaders_is_told_who_closed_it(
    running: Hunt, leader: User, secretary: User
) -> None:
    actions.close_hunt(running.pk, by=leader, at=now(), counted=0)
    with pytest.raises(AlreadyClosedError, match=f"already closed by {leader.name}"):
        actions.close_hunt(running.pk, by=secretary, at=now(), counted=0)
    running.refresh_from_db()
    assert running.closed_by == leader
    assert AuditEntry.objects.filter(verb="hunt.close").count() == 1


def test_an_open_hunt_cannot_be_closed(leader: User) -> None:
    with pytest.raises(IllegalMoveError):
        actions.close_hunt(make.hunt(leader=leader).pk, by=leader, at=now(), counted=0)


def test_people_are_signed_out_after_a_running_hunt_was_called_off(
    running: Hunt, leader: User, member: User
) -> None:
    came = make.attendance(running, member)
    actions.call_off_hunt(running.pk, by=leader, at=now(), why="Lightning")
    assert actions.sign_out(came.sign_up_id, by=leader, at=now()).signed_out_by == leader


def test_a_failed_close_leaves_no_trace(running: Hunt, leader: User, monkeypatch: Any) -> None:
    monkeypatch.setattr("hunts.actions.close.audit.record", lambda *a, **k: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        actions.close_hunt(running.pk, by=leader, at=now(), counted=0)
    running.refresh_from_db()
    assert running.state == "running"
