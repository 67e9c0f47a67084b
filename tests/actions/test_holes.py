"""Holes: numbers, places, dates, filling, checking, locks; and incidents."""

from datetime import timedelta
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.timezone import localtime, now

from hunts import actions
from hunts.actions import PreparedHolePhoto
from hunts.errors import HoleDateError, HoleError, HuntError
from hunts.models import Hole, HolePhoto, Hunt, Incident
from people.models import AuditEntry, User
from tests import make
from web.photos import take_in
from web.states import IllegalMoveError

INSIDE = {"lon": 0.1512, "lat": 53.6007, "accuracy_m": 5.0}
OUTSIDE = {"lon": 0.160, "lat": 53.6007, "accuracy_m": 5.0}
ON_THE_LINE = {"lon": 0.150, "lat": 53.6007, "accuracy_m": 5.0}


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running")
    make.sign_up(made, member)
    return made


def log(hunt: Hunt, by: User, **fields: Any) -> Hole:
    values: dict[str, Any] = {
        "client_id": uuid4(),
        "site": hunt.sites.all()[0],
        "digger": by,
        "dug_at": now(),
        "depth_cm": 15,
        "outcome": "scrap",
        **INSIDE,
    }
    return actions.log_hole(hunt.pk, by=by, at=now(), **(values | fields))


def photo(stage: str = "after") -> PreparedHolePhoto:
    return PreparedHolePhoto(take_in(SimpleUploadedFile("h.jpg", make.photo_bytes())), stage)


def test_numbers_run_within_the_hunt(hunt: Hunt, leader: User, member: User) -> None:
    other = make.hunt(leader=leader, state="running")
    assert [log(hunt, member).number, log(hunt, leader).number, log(other, leader).number] == [1, 2, 1]


def test_a_hole_sent_twice_is_one_hole(hunt: Hunt, member: User) -> None:
    once = uuid4()
    assert log(hunt, member, client_id=once) == log(hunt, member, client_id=once)
    assert Hole.objects.count() == 1


def test_somebody_elses_key_shows_nothing(hunt: Hunt, member: User) -> None:
    once, other = uuid4(), make.person()
    make.sign_up(hunt, other)
    log(hunt, member, client_id=once)
    with pytest.raises(PermissionDenied):
        log(hunt, other, client_id=once)


@pytest.mark.parametrize(
    ("place", "verdict"), [(INSIDE, "inside"), (OUTSIDE, "outside"), (ON_THE_LINE, "uncertain")]
)
def test_the_place_is_judged_against_the_boundary_of_the_hunt(
    hunt: Hunt, member: User, place: Any, verdict: str
) -> None:
    site = hunt.sites.all()[0]
    site.boundary = {"type": "MultiPolygon", "coordinates": []}  # drawn anew since: the hunt keeps its own
    site.save()
    hole = log(hunt, member, **place)
    assert hole.placing == verdict
    assert (hole.placing_probability or 0) == pytest.approx(
        {"inside": 1, "outside": 0, "uncertain": 0.5}[verdict], abs=0.01
    )


@pytest.mark.parametrize("away", [timedelta(days=1), timedelta(days=-1), timedelta(hours=1)])
def test_a_hole_of_another_day_is_refused_with_its_date(hunt: Hunt, member: User, away: timedelta) -> None:
    when = now() + away
    with pytest.raises(HoleDateError, match=f"{localtime(when):%-d %b %Y}"):
        log(hunt, member, dug_at=when)
    assert not Hole.objects.exists()


@pytest.mark.parametrize("state", ["planned", "open", "closed", "called off"])
def test_holes_are_logged_only_while_the_hunt_runs(leader: User, state: str) -> None:
    with pytest.raises(HoleError, match=f"is {state}"):
        log(make.hunt(leader=leader, state=state), leader)


def test_somebody_without_a_place_logs_nothing(hunt: Hunt) -> None:
    with pytest.raises(PermissionDenied, match="holds no place"):
        log(hunt, make.person())


def test_a_member_logs_no_hole_for_another(hunt: Hunt, member: User, leader: User) -> None:
    with pytest.raises(PermissionDenied, match="your own holes"):
        log(hunt, member, digger=leader)
    assert log(hunt, leader, digger=member).digger == member


@pytest.mark.parametrize("kind", ["remains", "ordnance", "deposit"])
def test_a_stopped_hole_opens_one_locked_incident(hunt: Hunt, member: User, kind: str) -> None:
    hole = log(hunt, member, outcome="stopped", stopped_for=kind, filled=True, notes="rim showing")
    incident = Incident.objects.get()
    assert (hole.locked, hole.state) == (True, "dug")
    assert (incident.kind, incident.locked, incident.hole, incident.recorded_by) == (kind, True, hole, member)
    assert (incident.lon, incident.lat) == (hole.lon, hole.lat)
    assert "rim showing" in incident.words
    actions.change_hole(hole.pk, by=member, at=now(), depth_cm=20, stopped_for=kind)
    assert Incident.objects.count() == 1


def test_no_place_reaches_the_audit_trail(hunt: Hunt, member: User) -> None:
    hole = log(hunt, member, position_text="TA 4237 1363")
    actions.change_hole(hole.pk, by=member, at=now(), **OUTSIDE, position_text="TA 4299 1363", depth_cm=9)
    kept = str(list(AuditEntry.objects.values_list("changes", "label")))
    assert "0.16" not in kept
    assert "53.6" not in kept
    assert "TA 42" not in kept
    assert AuditEntry.objects.get(verb="hole.change").changes["changed"] == ["depth_cm"]


def test_a_changed_place_is_judged_again(hunt: Hunt, member: User) -> None:
    hole = log(hunt, member)
    assert actions.change_hole(hole.pk, by=member, at=now(), **OUTSIDE).placing == "outside"


def test_a_hole_is_changed_until_its_hunt_is_closed(hunt: Hunt, member: User, leader: User) -> None:
    hole = log(hunt, member, filled=True)
    actions.close_hunt(hunt.pk, by=leader, at=now(), counted=0)
    with pytest.raises(HoleError, match="stays as it was logged"):
        actions.change_hole(hole.pk, by=member, at=now(), depth_cm=3)


def test_another_member_neither_changes_nor_fills(hunt: Hunt, member: User) -> None:
    hole, other = log(hunt, member), make.person()
    for action in (actions.change_hole, actions.fill_hole):
        with pytest.raises(PermissionDenied):
            action(hole.pk, by=other, at=now())


def test_filling_works_after_the_close_and_twice_is_once(hunt: Hunt, member: User, leader: User) -> None:
    hole = log(hunt, member)
    actions.close_hunt(hunt.pk, by=leader, at=now(), counted=0, unfilled_why="dark")
    first = actions.fill_hole(hole.pk, by=member, at=now())
    assert (first.state, first.filled_by) == ("filled", member)
    assert actions.fill_hole(hole.pk, by=leader, at=now()).filled_by == member
    assert AuditEntry.objects.filter(verb="hole.fill").count() == 1


def test_the_steward_checks_and_reopens_with_a_reason(hunt: Hunt, member: User, leader: User) -> None:
    hole = log(hunt, member, filled=True)
    assert actions.check_hole(hole.pk, by=leader, at=now()).checked_by == leader
    with pytest.raises(HoleError, match="Say what is wrong"):
        actions.reopen_hole(hole.pk, by=leader, at=now(), why=" ")
    again = actions.reopen_hole(hole.pk, by=leader, at=now(), why="The plug has sunk.")
    assert (again.state, again.filled_at, again.checked_by, again.reopened_why) == (
        "dug",
        None,
        None,
        "The plug has sunk.",
    )
    with pytest.raises(IllegalMoveError):
        actions.reopen_hole(hole.pk, by=leader, at=now(), why="again")


def test_nobody_checks_a_hole_of_their_own(hunt: Hunt, leader: User, member: User) -> None:
    hole = log(hunt, leader, filled=True)
    with pytest.raises(HoleError, match="somebody else has to check"):
        actions.check_hole(hole.pk, by=leader, at=now())
    with pytest.raises(PermissionDenied):
        actions.check_hole(hole.pk, by=member, at=now())


def test_an_open_hole_cannot_be_checked(hunt: Hunt, member: User, leader: User) -> None:
    with pytest.raises(IllegalMoveError):
        actions.check_hole(log(hunt, member).pk, by=leader, at=now())


def test_a_find_under_a_duty_locks_its_hole_and_frees_it_again(
    hunt: Hunt, member: User, committee: User
) -> None:
    hole = log(hunt, member)
    for _ in range(2):
        actions.lock_hole(hole, by=member, at=now())
    assert Hole.objects.get().locked
    assert AuditEntry.objects.filter(verb="hole.lock").count() == 1
    actions.unlock_hole(hole, by=committee, at=now())
    assert not Hole.objects.get().locked


def test_a_hole_stopped_for_bones_stays_locked(hunt: Hunt, member: User, committee: User) -> None:
    hole = log(hunt, member, outcome="stopped", stopped_for="remains")
    actions.unlock_hole(hole, by=committee, at=now())
    assert Hole.objects.get().locked


def test_photographs_are_kept_clean_and_not_doubled(hunt: Hunt, member: User) -> None:
    hole = log(hunt, member, photos=[photo("before"), photo("after")])
    actions.add_hole_photos(hole.pk, [photo("after")], by=member, at=now())
    rows = HolePhoto.objects.filter(hole=hole)
    assert sorted(row.stage for row in rows) == ["after", "before"]
    assert {row.display.name.split("/")[-1].count("h.jpg") for row in rows} == {0}
    with rows[0].display.open("rb") as kept:
        assert BytesIO(kept.read()).read(2) == b"\xff\xd8"


def test_an_incident_sent_twice_is_one_and_needs_a_person_who_was_there(hunt: Hunt, member: User) -> None:
    once = uuid4()
    fields = {"kind": "stock", "happened_at": now(), "words": "Ewes through the gap."}
    first = actions.add_incident(hunt, by=member, at=now(), client_id=once, **fields)
    assert actions.add_incident(hunt, by=member, at=now(), client_id=once, **fields) == first
    assert not first.locked
    with pytest.raises(PermissionDenied, match="You were not on"):
        actions.add_incident(hunt, by=make.person(), at=now(), client_id=uuid4(), **fields)


def test_an_incident_of_tomorrow_is_refused(hunt: Hunt, member: User) -> None:
    fields = {"kind": "gate", "happened_at": now() + timedelta(1), "words": "x"}
    with pytest.raises(HuntError, match="has not come yet"):
        actions.add_incident(hunt, by=member, at=now(), client_id=uuid4(), **fields)


def test_a_stopped_hole_is_filled_when_the_leader_says_so(hunt: Hunt, member: User, leader: User) -> None:
    hole = log(hunt, member, outcome="stopped", stopped_for="ordnance")
    with pytest.raises(HoleError, match="until those who were called have seen it"):
        actions.fill_hole(hole.pk, by=member, at=now())
    assert actions.fill_hole(hole.pk, by=leader, at=now()).state == "filled"
