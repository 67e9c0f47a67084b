"""Records from phones: stored once by the actions that pages use, parked with a reason, nothing lost."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from field.intake import take
from field.models import PhoneRecord
from finds.models import Find
from hunts.models import Attendance, GroundReading, Hole, Hunt, Incident, SignUp, Track
from people.models import AuditEntry, User
from tests import make, make_field, make_kit
from tests.ground import LOCAL, serpentine
from tests.make_field import INSIDE, answers

pytestmark = pytest.mark.django_db


@pytest.fixture
def hunt(member: User, leader: User) -> Hunt:
    make.club()
    return make_field.running(leader, member)


def states(results: list[dict[str, Any]]) -> list[str]:
    return [row["state"] for row in results]


def close(hunt: Hunt) -> None:
    type(hunt).objects.filter(pk=hunt.pk).update(state="closed", closed_at=now())


def test_a_hole_is_logged_as_on_the_page_with_its_own_time(member: User, hunt: Hunt) -> None:
    sent = make_field.hole(hunt, notes="by the beck", target_id=64)
    (answer,) = answers(member, sent)
    hole = Hole.objects.get()
    assert (answer["state"], answer["pk"], answer["label"]) == ("stored", hole.pk, "Hole 1")
    assert (hole.lon, hole.lat, hole.accuracy_m, hole.position_method) == (0.1512, 53.6007, 4.0, "averaged")
    assert (hole.depth_cm, hole.target_id, hole.notes, hole.placing) == (12, 64, "by the beck", "inside")
    assert hole.dug_at.isoformat() == hole.filled_at.isoformat() == sent["at"]


def test_the_same_record_again_is_one_record(member: User, hunt: Hunt) -> None:
    sent = [
        make_field.hole(hunt),
        make_field.sent("incident", hunt, kind="gate", words="Off its hinge", told=""),
    ]
    assert states(answers(member, *sent)) == ["stored", "stored"]
    assert states(answers(member, *sent, *sent)) == ["again"] * 4
    assert (Hole.objects.count(), Incident.objects.count(), PhoneRecord.objects.count()) == (1, 1, 2)


def test_a_whole_day_sent_the_wrong_way_round(member: User, hunt: Hunt) -> None:
    kit = make_kit.kit(member)
    hole = make_field.hole(hunt, filled=False, outcome="find")
    find = make_field.find(hunt, hole["client_id"])
    day = [
        make_field.sent("sign_out", hunt, unfilled=[], words=""),
        make_field.sent(
            "change", hunt, of=find["client_id"], fields={"object_type": "buckle", "materials": ["iron"]}
        ),
        make_field.sent("fill", hunt, hole=hole["client_id"]),
        make_field.sent("reading", hunt, environment="arable", value=61.5, kit=kit.pk, scale=None, notes=""),
        find,
        hole,
    ]
    assert states(answers(member, *day)) == ["stored"] * 6
    found = Find.objects.get()
    assert (found.object_type, found.hole, found.depth_cm, found.lon) == (
        "buckle",
        Hole.objects.get(),
        12,
        0.1512,
    )
    assert [row.material for row in found.materials.all()] == ["iron"]
    assert (Hole.objects.get().state, str(GroundReading.objects.get().value)) == ("filled", "61.50")
    assert GroundReading.objects.get().scale == "phase 0 to 99"
    assert Attendance.objects.get(sign_up__user=member).signed_out_by == member


def test_a_find_waits_on_the_phone_until_its_hole_comes(member: User, hunt: Hunt) -> None:
    hole = make_field.hole(hunt)
    find = make_field.find(hunt, hole["client_id"])
    assert states(answers(member, find)) == ["waiting"]
    assert PhoneRecord.objects.count() == 0
    assert states(answers(member, hole, find)) == ["stored", "stored"]


def test_outside_the_boundary_is_stored_and_said(member: User, hunt: Hunt) -> None:
    assert states(answers(member, make_field.hole(hunt, position=INSIDE | {"lat": 53.61}))) == ["stored"]
    assert Hole.objects.get().placing == "outside"


def test_no_position_is_no_obstacle(member: User, hunt: Hunt) -> None:
    assert states(answers(member, make_field.hole(hunt, position=None))) == ["stored"]
    assert not Hole.objects.get().is_fixed


def test_a_typed_reference_is_read_as_on_the_page(member: User, hunt: Hunt) -> None:
    assert states(answers(member, make_field.hole(hunt, position=None, text="53.6007, 0.1512"))) == ["stored"]
    assert Hole.objects.get().position_method == "typed"


def test_among_several_sites_the_fix_says_which(member: User, leader: User) -> None:
    far = {"type": "MultiPolygon", "coordinates": [[[[0.2, 53.6], [0.21, 53.6], [0.21, 53.61], [0.2, 53.6]]]]}
    sites = (make.site(boundary=far), make.site())
    hunt = make.hunt(*sites, leader=leader, state="running")
    make.attendance(hunt, member)
    assert states(answers(member, make_field.hole(hunt))) == ["stored"]
    assert Hole.objects.get().site == sites[1]
    (answer,) = answers(member, make_field.hole(hunt, position=None))
    assert answer["state"] == "parked"
    assert "Site" in answer["why"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"depth_cm": 300}, "300"),
        ({"depth_cm": "deep"}, "Depth (cm)"),
        ({"depth_cm": [1]}, "depth_cm is a list"),
        ({"outcome": "treasure"}, "treasure"),
        ({"outcome": "stopped"}, "Say what stopped you"),
        ({"target_id": 10**15}, "Target ID"),
        ({"position": {"lat": "x", "lon": 1}}, "lat, lon and accuracy_m are numbers"),
        ({"position": {"lat": 91, "lon": 1}}, "90"),
        ({"position": INSIDE | {"method": "guessed"}}, "cannot be read"),
        ({"text": "TA 123 45"}, "TA 123 45"),
        ({"notes": "x" * 301}, "300"),
        ({"site": 99999999}, "Site"),
    ],
)
def test_a_value_that_cannot_be_kept_parks_the_record_with_the_reason(
    member: User, hunt: Hunt, data: dict[str, Any], words: str
) -> None:
    sent = make_field.hole(hunt, **data)
    (answer,) = answers(member, sent)
    row = PhoneRecord.objects.get()
    assert (answer["state"], row.reason, row.sent["data"]) == ("parked", "value", sent["data"])
    assert words in answer["why"]
    assert Hole.objects.count() == 0


def test_a_corrected_record_takes_the_parked_ones_place(member: User, hunt: Hunt) -> None:
    sent = make_field.hole(hunt, depth_cm=None)
    find = make_field.find(hunt, sent["client_id"])
    assert states(answers(member, sent, find)) == ["parked", "parked"]
    sent["data"]["depth_cm"] = 9
    assert states(answers(member, sent)) == ["stored"]
    assert Find.objects.get().hole == Hole.objects.get()  # what belonged to it followed by itself
    assert set(PhoneRecord.objects.values_list("state", "sent")) == {("stored", None)}


def test_an_edit_after_a_lost_answer_is_not_lost(member: User, hunt: Hunt) -> None:
    sent = make_field.hole(hunt)
    answers(member, sent)  # the answer never came
    later = sent | {"data": sent["data"] | {"depth_cm": 31, "notes": "deeper than I thought"}}
    assert states(answers(member, later)) == ["stored"]
    assert states(answers(member, later, sent, later)) == ["again"] * 3
    hole = Hole.objects.get()
    assert (hole.depth_cm, hole.notes) == (31, "deeper than I thought")


def test_a_reading_that_is_stored_stays_and_the_correction_is_kept(member: User, hunt: Hunt) -> None:
    kit = make_kit.kit(member)
    reading = make_field.sent(
        "reading", hunt, environment="arable", value=61, kit=kit.pk, scale="0 to 99", notes=""
    )
    answers(member, reading)
    (answer,) = answers(
        member, make_field.sent("change", hunt, of=reading["client_id"], fields={"value": 62})
    )
    assert answer["state"] == "parked"
    assert PhoneRecord.objects.get(kind="change").sent["data"]["fields"] == {"value": 62}


def test_a_hunt_closed_meanwhile_parks_the_hole_until_the_leader_lets_it_in(
    member: User, leader: User, hunt: Hunt, client_of: Any
) -> None:
    close(hunt)
    (answer,) = answers(member, make_field.hole(hunt))
    row = PhoneRecord.objects.get()
    assert (answer["state"], row.reason) == ("parked", "over")
    client_of(leader).post(f"/field/parked/{row.pk}/let-in/")
    hole = Hole.objects.get()
    assert (hole.digger, PhoneRecord.objects.get().state) == (member, "stored")
    assert AuditEntry.objects.get(verb="hole.log").changes["let_in_by"] == leader.name


def test_what_came_before_the_hunt_was_started_follows_once_it_runs(member: User, leader: User) -> None:
    hunt = make.hunt(leader=leader)
    make.sign_up(hunt, member)
    assert states(answers(member, make_field.hole(hunt))) == ["parked"]
    assert PhoneRecord.objects.get().reason == "not started"
    type(hunt).objects.filter(pk=hunt.pk).update(state="running")
    assert answers(member) == []
    assert Hole.objects.count() == 1


def test_no_place_on_the_hunt_is_said_and_kept(hunt: Hunt) -> None:
    other = make.person(name="Ned Spit")
    (answer,) = answers(other, make_field.hole(hunt))
    assert (answer["state"], PhoneRecord.objects.get().reason) == ("parked", "place")
    SignUp.objects.create(hunt=hunt, user=other, state="in", asked_at=now())
    assert states(answers(other, PhoneRecord.objects.get().sent)) == ["stored"]


def test_a_hunt_that_one_may_not_see_is_not_told_from_one_that_is_not_there(
    member: User, leader: User
) -> None:
    hidden = make.hunt(leader=leader, state="planned")
    one, other = answers(member, make_field.hole(hidden), make_field.hole(99_999))
    assert one["why"].replace(str(hidden.pk), "N") == other["why"].replace("99999", "N")
    assert set(PhoneRecord.objects.values_list("hunt", "reason")) == {(None, "hunt")}


@pytest.mark.parametrize("days", [-1, 1])
def test_a_time_on_another_day_is_parked_with_what_was_sent(member: User, hunt: Hunt, days: int) -> None:
    sent = make_field.hole(hunt, at=now() + timedelta(days))
    assert states(answers(member, sent)) == ["parked"]
    assert PhoneRecord.objects.get().reason == "time"


def test_a_phone_a_day_ahead_that_did_not_know_it_is_right_by_the_time_since(
    member: User, hunt: Hunt
) -> None:
    sent = make_field.hole(hunt, at=now() + timedelta(days=1, seconds=-30))
    assert states(answers(member, sent, now=(now() + timedelta(days=1)).isoformat())) == ["stored"]


@pytest.mark.parametrize(
    "raw", [None, 7, "x", [], {}, {"client_id": "7"}, {"client_id": str(uuid4()), "kind": "tree"}]
)
def test_what_is_no_record_is_kept_and_stops_no_other(member: User, hunt: Hunt, raw: Any) -> None:
    assert states(answers(member, raw, make_field.hole(hunt), raw)) == ["parked", "stored", "parked"]
    assert PhoneRecord.objects.get(state="parked").reason == "unknown"


def test_a_key_of_somebody_else_tells_nothing_and_takes_nothing(
    member: User, leader: User, hunt: Hunt
) -> None:
    sent = make_field.hole(hunt)
    answers(member, sent)
    (answer,) = answers(leader, sent)
    assert (answer["state"], "hole 1" in str(answer)) == ("parked", False)
    assert PhoneRecord.objects.get().owner == member


def test_a_fault_of_ours_parks_one_record_and_logs_no_place(
    member: User, hunt: Hunt, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*args: Any, **kwargs: Any) -> None:
        raise KeyError(f"at {INSIDE['lat']}")

    incident = make_field.sent("incident", hunt, kind="gate", words="Off its hinge", told="")
    with monkeypatch.context() as patched:
        patched.setattr("hunts.actions.log_hole", broken)
        assert states(answers(member, make_field.hole(hunt), incident)) == ["parked", "stored"]
    assert "KeyError" in caplog.text
    assert str(INSIDE["lat"]) not in caplog.text


def test_no_place_reaches_the_trail_or_the_log(
    member: User, hunt: Hunt, caplog: pytest.LogCaptureFixture
) -> None:
    close(hunt)
    answers(member, make_field.hole(hunt, text="53.60071, 0.15123"))
    written = str(list(AuditEntry.objects.values())) + caplog.text
    assert AuditEntry.objects.filter(verb="phone.park").exists()
    assert not any(place in written for place in ("53.6007", "0.1512"))


def test_bones_stop_the_hunt_and_lock_the_place(member: User, hunt: Hunt) -> None:
    sent = make_field.hole(hunt, outcome="stopped", stopped_for="remains", filled=False)
    assert states(answers(member, sent)) == ["stored"]
    assert (Hole.objects.get().locked, Incident.objects.get().kind) == (True, "remains")


def test_signing_out_asks_for_open_holes_first(member: User, hunt: Hunt) -> None:
    answers(member, make_field.hole(hunt, filled=False))
    out = make_field.sent("sign_out", hunt, unfilled=[1], words="")
    (answer,) = answers(member, out)
    assert "Hole 1 is not filled" in answer["why"]
    said = out | {"data": {"unfilled": [1], "words": "the farmer wants to see it"}}
    assert states(answers(member, said)) == ["stored"]
    assert AuditEntry.objects.get(verb="hunt.sign_out").changes["why"] == "the farmer wants to see it"


def walk(points: int, start: float) -> list[list[float]]:
    lon, lat = LOCAL.inverse(*serpentine().T)
    places = list(zip(lon.tolist(), lat.tolist(), strict=True))[:points]
    return [[start + 2 * n, y, x, 4.0] for n, (x, y) in enumerate(places)]


def test_a_track_is_kept_and_one_of_the_road_home_is_not(member: User, hunt: Hunt) -> None:
    start = (
        max(hunt.begins, now() - timedelta(hours=1)).timestamp()
        if now() > hunt.begins
        else now().timestamp() - 900
    )
    road = [[int(start) + second, 51.0, 1.0, 4.0] for second in range(9)]
    here = make_field.sent("track", hunt, points=walk(300, start), gaps=[[start + 100, start + 101]], part=1)
    away = make_field.sent("track", hunt, points=road, gaps=[], part=2)
    assert states(answers(member, here, away)) == ["stored", "stored"]
    assert Track.objects.get().user == member
    left = PhoneRecord.objects.get(state="left out")
    assert "51" not in str(left.sent)


@pytest.mark.parametrize("points", [None, [], [[1, 2]], [["a", 1, 1, 1]], [[1, 95, 0, 1]], [[0, 1, 1, 1]]])
def test_points_that_cannot_be_read_are_said(member: User, hunt: Hunt, points: Any) -> None:
    (answer,) = answers(member, make_field.sent("track", hunt, points=points, gaps=[], part=1))
    assert answer["state"] == "parked"
    assert "oint" in answer["why"]


@pytest.mark.once
def test_six_hundred_records_take_no_more_queries_each_than_one(
    member: User, hunt: Hunt, django_assert_max_num_queries: Any
) -> None:
    take([make_field.hole(hunt)], by=member, at=now(), device_now=None)  # what is asked once is asked
    with django_assert_max_num_queries(40):
        take([make_field.hole(hunt)], by=member, at=now(), device_now=None)
    take([make_field.hole(hunt) for _ in range(20)], by=member, at=now(), device_now=None)
    with django_assert_max_num_queries(40):
        take([make_field.hole(hunt)], by=member, at=now(), device_now=None)
