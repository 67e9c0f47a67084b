"""Who sees which rows, and that the calendar's two spellings of late agree."""

from datetime import date, time, timedelta

import pytest

from hunts.models import Attendance, Hole, Hunt, Incident, SignUp
from hunts.points import incident_point, point_of, shown_to
from people.models import AuditEntry, User
from people.sensitivity import Precision
from tests import make


@pytest.mark.parametrize("state", ["planned", "open", "running", "closed", "called off"])
def test_members_see_hunts_once_they_open(member: User, secretary: User, stranger: User, state: str) -> None:
    hunt = make.hunt(state=state)
    shown = state in {"open", "running", "closed"}
    assert Hunt.objects.visible_to(member).filter(pk=hunt.pk).exists() is shown
    assert Hunt.objects.visible_to(secretary).filter(pk=hunt.pk).exists()
    assert not Hunt.objects.visible_to(stranger).exists()


def test_who_was_coming_still_sees_a_hunt_that_was_called_off(member: User) -> None:
    hunt = make.hunt(state="called off")
    make.sign_up(hunt, member)
    assert list(Hunt.objects.visible_to(member)) == [hunt]


def test_rows_of_holes_incidents_and_sign_ups(
    member: User, leader: User, secretary: User, committee: User, stranger: User
) -> None:
    hunt = make.hunt(leader=leader, state="running")
    hole = make.hole(hunt, member)
    row = make.sign_up(hunt, member)
    incident = Incident.objects.create(
        hunt=hunt, kind="gate", happened_at=hole.dug_at, words="x", recorded_by=member
    )
    other = make.person()
    for user in (member, leader, secretary, committee):
        assert list(Hole.objects.visible_to(user)) == [hole]
        assert list(Incident.objects.visible_to(user)) == [incident]
    for user in (other, stranger):
        assert not Hole.objects.visible_to(user).exists()
        assert not Incident.objects.visible_to(user).exists()
    assert list(SignUp.objects.visible_to(leader)) == [row]
    assert not SignUp.objects.visible_to(other).exists()


@pytest.mark.parametrize("minutes", [-1, 0, 1, 600, 24 * 60])
def test_late_reads_the_same_in_rows_and_in_words(member: User, minutes: int) -> None:
    hunt = make.hunt(state="running", ends_at=time(16))
    came = make.attendance(hunt, member, signed_in_at=hunt.begins)
    at = hunt.finishes + timedelta(minutes=minutes)
    assert Attendance.objects.late(at).exists() is came.is_late(at) is (minutes > 0)


def test_late_across_the_clock_change_keeps_to_the_wall_clock(member: User) -> None:
    """British Summer Time ended at 01:00 UTC on 25 October 2026 (last Sunday of October; Summer Time Act 1972)."""
    day = date(2026, 10, 25)
    hunt = make.hunt(state="running", on=day, starts_at=time(0, 30), ends_at=time(3))
    came = make.attendance(hunt, member, signed_in_at=hunt.begins)
    assert hunt.finishes - hunt.begins == timedelta(hours=3, minutes=30)
    for hours, late in ((3.4, False), (3.6, True)):
        at = hunt.begins + timedelta(hours=hours)
        assert Attendance.objects.late(at).exists() is came.is_late(at) is late


def test_signed_out_after_the_finish_stays_marked(member: User, leader: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    out = hunt.finishes + timedelta(minutes=20)
    came = make.attendance(hunt, member, signed_in_at=hunt.begins, signed_out_at=out, signed_out_by=leader)
    assert came.is_late(hunt.finishes)
    assert not Attendance.objects.late(out + timedelta(1)).exists()


def test_the_place_of_a_hole_by_reader(
    member: User, leader: User, secretary: User, committee: User, stranger: User
) -> None:
    hole = make.hole(make.hunt(leader=leader, state="running"), member)
    for user in (member, leader, secretary, committee):
        point = point_of(hole, user)
        assert point is not None
        assert point.precision is Precision.FULL
    square = point_of(hole, make.person())
    assert square is not None
    assert square.precision is Precision.SQUARE
    assert point_of(hole, stranger) is None


def test_a_locked_hole_is_for_digger_leader_and_committee_and_each_view_is_recorded(
    member: User, leader: User, secretary: User, committee: User
) -> None:
    hole = make.hole(make.hunt(leader=leader, state="running"), member, locked=True)
    at = hole.dug_at
    for user in (member, leader, committee):
        assert shown_to(hole, user, at=at, where="hole page") is not None
    assert shown_to(hole, secretary, at=at, where="hole page") is None
    assert set(AuditEntry.objects.filter(verb="hole.see").values_list("by", flat=True)) == {
        member.pk,
        leader.pk,
        committee.pk,
    }


def test_the_place_of_a_locked_incident_stays_off_lists(member: User, leader: User) -> None:
    hunt = make.hunt(leader=leader, state="running")
    row = Incident(hunt=hunt, kind="remains", recorded_by=member, lon=0.151, lat=53.6, locked=True)
    country = hunt.sites.all()[0].country
    assert incident_point(row, leader, country) is None
    row.locked = False
    assert incident_point(row, leader, country) is not None
