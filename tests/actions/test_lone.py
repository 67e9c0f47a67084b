"""Out alone: times that can be, the gate, one at a time; and alarms that go out once each."""

from datetime import datetime, timedelta
from io import StringIO
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.core.management import CommandError, call_command
from django.db import transaction
from django.utils.timezone import localdate, make_aware, now

from hunts import actions
from hunts.errors import LoneHuntError, NotEligibleError
from hunts.late import late_hunts, late_lone_hunts, step_due
from hunts.models import Attendance, Hunt, LateNotice, LoneHunt
from people.models import AuditEntry, User
from people.outbox import send_due
from people.rights import Role
from permissions.models import FieldState
from tests import make, make_kit


def go(by: User, **changes: Any) -> LoneHunt:
    values: dict[str, Any] = {
        "where": "Lay-by on Sand Lane, north of the bridge",
        "out_at": now(),
        "due_back": now() + timedelta(hours=3),
        "contact_name": "Gil Wrack",
        "contact_phone": "01632 960500",
        "contact_email": "gil@wrack.example",
        "client_id": uuid4(),
    }
    return actions.go_out_alone(by=by, at=now(), **(values | changes))


def test_going_out_twice_is_going_out_once(member: User) -> None:
    once = uuid4()
    assert go(member, client_id=once) == go(member, client_id=once)
    assert AuditEntry.objects.filter(verb="lone.out").count() == 1


def test_one_at_a_time(member: User) -> None:
    go(member)
    with pytest.raises(LoneHuntError, match="say that you are back first"):
        go(member)


@pytest.mark.parametrize(
    ("out", "back", "words"),
    [(0, -1, "is not after"), (-5, -1, "has gone by"), (0, 17, "more than 16 hours")],
)
def test_times_that_cannot_be_are_named(member: User, out: int, back: int, words: str) -> None:
    with pytest.raises(LoneHuntError, match=words):
        go(member, out_at=now() + timedelta(hours=out), due_back=now() + timedelta(hours=back))


def test_a_lapsed_member_and_one_without_insurance_stay_at_home(stranger: User) -> None:
    with pytest.raises(PermissionDenied):
        go(stranger)
    with pytest.raises(NotEligibleError, match="insurance"):
        go(make.person(insured=False))


def noon(days: int) -> datetime:
    return make_aware(datetime.combine(localdate() + timedelta(days), datetime.min.time())) + timedelta(
        hours=12
    )


def test_the_gate_of_a_site_is_asked(member: User) -> None:
    site = make.site()
    times = {"out_at": noon(1), "due_back": noon(1) + timedelta(hours=2)}
    with pytest.raises(LoneHuntError, match="is shut"), transaction.atomic():
        go(member, site=site, **times)
    make.permission(site)
    FieldState.objects.create(site=site, on=localdate(), crop="stubble", effect="ask", said_by="owner")
    with pytest.raises(LoneHuntError, match="says to ask first"), transaction.atomic():
        go(member, site=site, **times)
    assert go(member, site=site, gate_asked="The owner, by phone at noon", **times).site == site


def test_coming_back_is_said_once_by_oneself_or_a_leader(member: User, leader: User) -> None:
    lone = go(member)
    with pytest.raises(PermissionDenied):
        actions.come_back(lone.pk, by=make.person(), at=now())
    first = actions.come_back(lone.pk, by=leader, at=now())
    assert first.back_by == leader
    assert actions.come_back(lone.pk, by=member, at=now() + timedelta(1)).back_at == first.back_at
    with pytest.raises(LoneHuntError, match="nothing is due"):
        actions.change_due_back(lone.pk, by=member, at=now(), due_back=now() + timedelta(hours=1))


def test_only_the_person_stays_longer(member: User, leader: User) -> None:
    lone = go(member)
    with pytest.raises(PermissionDenied):
        actions.change_due_back(lone.pk, by=leader, at=now(), due_back=now() + timedelta(hours=5))


@pytest.mark.parametrize(("minutes", "step"), [(29, None), (30, 30), (59, 30), (60, 60), (600, 60)])
def test_steps_at_30_and_60_minutes(minutes: int, step: int | None) -> None:
    """Overdue escalation at +30 and +60 minutes: facts/trade.md 2.3, common practice."""
    due = make.moment(2026, 10, 25, 0, 30)  # the night on which clocks go back: elapsed minutes count
    assert step_due(due, due + timedelta(minutes=minutes)) == step


@pytest.fixture
def overdue(member: User, leader: User) -> LoneHunt:
    lone = go(member)
    LoneHunt.objects.filter(pk=lone.pk).update(
        out_at=now() - timedelta(hours=4), due_back=now() - timedelta(minutes=31)
    )
    return LoneHunt.objects.get()


def run() -> str:
    out = StringIO()
    call_command("late_out", stdout=out)
    return out.getvalue()


def told() -> list[set[str]]:
    """Who was written to, alarm by alarm: the letters of one alarm have the same words."""
    said: dict[str, set[str]] = {}
    for message in mail.outbox:
        said.setdefault(message.subject, set()).update(message.to)
    return list(said.values())


def test_the_contact_is_told_first_and_only_once(overdue: LoneHunt, member: User) -> None:
    assert "1 alarm sent" in run()
    assert "0 alarms sent" in run()
    assert told() == [{member.email, "gil@wrack.example"}]
    assert "call 999 or 112" in mail.outbox[0].body
    assert [len(message.to) for message in mail.outbox] == [1, 1]  # nobody reads the others' addresses


def test_after_an_hour_those_who_run_hunts_are_told_too(
    overdue: LoneHunt, member: User, leader: User
) -> None:
    run()
    LoneHunt.objects.update(due_back=now() - timedelta(minutes=31))
    LateNotice.objects.update(due_at=LoneHunt.objects.get().due_back)
    lone = LoneHunt.objects.get()
    notice = actions.alarm_about_lone_hunt(lone.pk, via="test", at=lone.due_back + timedelta(minutes=61))
    assert notice is not None
    send_due(clock=now)
    assert told()[1] == {member.email, "gil@wrack.example", leader.email}


def test_a_scheduler_that_slept_sends_the_last_step_only(overdue: LoneHunt) -> None:
    LoneHunt.objects.update(due_back=now() - timedelta(hours=3))
    run()
    run()
    assert list(LateNotice.objects.values_list("minutes", flat=True)) == [60]
    assert len(told()) == 1


def test_without_a_contacts_address_the_leaders_are_told_at_once(
    overdue: LoneHunt, member: User, leader: User
) -> None:
    LoneHunt.objects.update(contact_email="")
    run()
    assert told() == [{member.email, leader.email}]


def test_staying_longer_starts_the_alarms_anew(overdue: LoneHunt, member: User) -> None:
    run()
    actions.change_due_back(overdue.pk, by=member, at=now(), due_back=now() + timedelta(hours=1))
    assert late_lone_hunts(now()) == []
    assert [each.pk for each in late_lone_hunts(now() + timedelta(minutes=91))] == [overdue.pk]


def test_back_is_back(overdue: LoneHunt, member: User) -> None:
    actions.come_back(overdue.pk, by=member, at=now())
    assert "0 alarms sent" in run()
    assert actions.alarm_about_lone_hunt(overdue.pk, via="test", at=now()) is None


def test_a_mail_server_that_fails_costs_no_alarm(overdue: LoneHunt, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*args: Any, **kwargs: Any) -> int:
        raise ConnectionRefusedError("no server")

    with monkeypatch.context() as broken:
        broken.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", refuse)
        with pytest.raises(CommandError, match="tried again"):
            run()
    assert mail.outbox == []
    assert send_due(clock=lambda: now() + timedelta(minutes=3))["sent"] == 2
    assert told() == [{overdue.user.email, "gil@wrack.example"}]
    assert "0 alarms sent" in run()


@pytest.fixture
def late(leader: User, member: User) -> Hunt:
    """A hunt of yesterday evening that nobody closed, with the member and a guest still out."""
    made = make.hunt(leader=leader, state="running", on=make.days(-1))
    row = make.attendance(made, member, signed_in_at=now() - timedelta(hours=30))
    make_kit.guest(
        row.sign_up, name="Gil Wrack", signed_in_at=now() - timedelta(hours=30), signed_in_by=leader
    )
    return made


def test_a_hunt_alarm_names_everybody_out_once(late: Hunt, leader: User, member: User) -> None:
    second = make.person(Role.LEADER)
    assert "1 alarm sent" in run()
    assert "0 alarms sent" in run()
    assert {leader.email, second.email} <= told()[0]
    assert member.email not in told()[0]
    assert "Gil Wrack, Mo Samphire" in mail.outbox[0].body


def test_the_leader_alone_is_told_at_30_minutes(late: Hunt, leader: User) -> None:
    make.person(Role.SECRETARY)
    actions.alarm_about_hunt(late.pk, via="test", at=late.finishes + timedelta(minutes=30))
    send_due(clock=now)
    assert told() == [{leader.email}]


def test_a_hunt_with_everybody_back_or_long_forgotten_is_quiet(late: Hunt) -> None:
    at = now()
    Hunt.objects.update(on=make.days(-3))
    assert late_hunts(at) == []
    Hunt.objects.update(on=make.days(-1))
    late.guests.update(signed_out_at=at)
    Attendance.objects.update(signed_out_at=at)
    assert late_hunts(at) == []
    late.refresh_from_db()
    assert actions.alarm_about_hunt(late.pk, via="test", at=at) is None
