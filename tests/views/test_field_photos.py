"""Photographs from phones: in parts, once, with the record that they show, and what needs somebody."""

import hashlib
import json
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils.timezone import now

from field import actions
from field.account import account_of
from field.models import PhotoPart, PhotoUpload
from finds.models import FindPhoto
from hunts.models import Hole, HolePhoto, Hunt, IncidentPhoto
from people.models import AuditEntry, User
from tests import make, make_field

pytestmark = pytest.mark.django_db
As = Callable[[User | None], Client]
JSON = "application/json"


@pytest.fixture
def hunt(member: User, leader: User) -> Hunt:
    make.club()
    return make_field.running(leader, member)


def begin(client: Client, user: User, record: str, data: bytes, **more: Any) -> Any:
    about = {
        "account": account_of(user),
        "client_id": str(uuid4()),
        "of": "hole",
        "owner": record,
        "shows": "after",
    }
    about |= {"size": len(data), "sha256": hashlib.sha256(data).hexdigest(), "name": "IMG 1.jpg"} | more
    return about["client_id"], client.post("/field/photos/", json.dumps(about), content_type=JSON)


def part(client: Client, key: str, data: bytes, starts: Any) -> Any:
    headers = {"Upload-Offset": str(starts)}
    return client.patch(
        f"/field/photos/{key}/", data, content_type="application/octet-stream", headers=headers
    )


def test_a_photograph_goes_on_where_it_was_broken_off(member: User, hunt: Hunt, client_of: As) -> None:
    hole, data, client = make.hole(hunt, member), make.photo_bytes(), client_of(member)
    key, begun = begin(client, member, str(hole.client_id), data)
    assert begun.json() == {"received": 0, "size": len(data), "state": "waiting"}
    assert part(client, key, data[:100], 0).json()["received"] == 100
    lost = part(client, key, data[100:300], 100)  # its answer never came
    again = part(client, key, data[100:300], 100)
    assert (lost.status_code, again.status_code, again.json()["received"]) == (200, 409, 300)
    assert client.get(f"/field/photos/{key}/").json()["received"] == 300
    done = part(client, key, data[300:], 300)
    assert (done.json()["state"], PhotoPart.objects.count()) == ("stored", 0)
    photo = HolePhoto.objects.get()
    assert (photo.hole, photo.stage) == (hole, "after")
    assert part(client, key, data[300:], 300).json()["state"] == "stored"
    assert HolePhoto.objects.count() == 1


def test_a_photograph_waits_for_its_record_and_follows_it(member: User, hunt: Hunt, client_of: As) -> None:
    hole = make_field.hole(hunt)
    find = make_field.find(hunt, hole["client_id"])
    data, client = make.photo_bytes(), client_of(member)
    key, _ = begin(client, member, find["client_id"], data, of="find", shows="")
    assert part(client, key, data, 0).json()["state"] == "waiting"
    make_field.post(member, hole, find, client=client)
    assert client.get(f"/field/photos/{key}/").json()["state"] == "stored"
    assert FindPhoto.objects.get().view == "face"


NO_HOLE = "A photograph of an incident is kept with its hole, and this incident has none."
"""What the server said of such a photograph until it kept them; rows and phones still have these words."""


@pytest.mark.parametrize("in_a_hole", [False, True])
def test_a_photograph_of_an_incident_is_kept_with_it(
    member: User, hunt: Hunt, client_of: As, in_a_hole: bool
) -> None:
    hole = make_field.hole(hunt)
    about = {"hole": hole["client_id"]} if in_a_hole else {}
    incident = make_field.sent("incident", hunt, kind="gate", words="Off its hinge", told="", **about)
    data, client = make.photo_bytes(), client_of(member)
    key, _ = begin(client, member, incident["client_id"], data, of="incident", shows="scene")
    assert part(client, key, data, 0).json()["state"] == "waiting"
    make_field.post(member, hole, incident, client=client)
    assert [client.get(f"/field/photos/{key}/").json()["state"] for _ in range(2)] == ["stored"] * 2
    photo = IncidentPhoto.objects.get()
    assert (str(photo.incident.client_id), photo.added_by) == (incident["client_id"], member)
    assert not HolePhoto.objects.exists()
    assert AuditEntry.objects.filter(verb="incident.photos").count() == 1


def parked_for_want_of_a_hole(member: User, hunt: Hunt) -> PhotoUpload:
    incident, data = make.incident(hunt, member), make.photo_bytes()
    row = make_field.upload(member, incident.client_id, data, of="incident", shows="before")
    actions.add_part(row.pk, data, starts=0, by=member, at=now())
    return actions.finish_photo(row.pk, by=member, at=now(), attach=None, why=NO_HOLE)


@pytest.mark.parametrize("way", ["asks", "begins again", "sends the last part again"])
def test_one_that_was_parked_for_want_of_a_hole_goes_through_when_its_phone_tries_again(
    member: User, hunt: Hunt, client_of: As, way: str
) -> None:
    row, client, data = parked_for_want_of_a_hole(member, hunt), client_of(member), make.photo_bytes()
    key = str(row.client_id)
    if way == "asks":
        answer = client.get(f"/field/photos/{key}/")
    elif way == "begins again":
        _, answer = begin(client, member, str(row.record), data, of="incident", client_id=key)
    else:
        answer = part(client, key, data, 0)
    assert answer.json() == {"received": len(data), "size": len(data), "state": "stored"}
    assert (IncidentPhoto.objects.get().incident.client_id, PhotoPart.objects.count()) == (row.record, 0)


def test_its_owner_tries_a_parked_photograph_again_where_the_phone_is_gone(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    row, client = parked_for_want_of_a_hole(member, hunt), client_of(member)
    again = f"/field/photos/{row.pk}/again/"
    assert f'action="{again}"' in client.get("/field/parked/").text
    assert client_of(leader).post(again).status_code == 404
    for _ in range(2):
        assert "It is stored." in client.post(again, follow=True).text
    assert (IncidentPhoto.objects.count(), PhotoUpload.objects.get().why) == (1, "")


def test_what_is_no_photograph_is_no_photograph_the_second_time_and_says_so(
    member: User, hunt: Hunt, client_of: As
) -> None:
    hole, client = make.hole(hunt, member), client_of(member)
    key, _ = begin(client, member, str(hole.client_id), b"a letter")
    part(client, key, b"a letter", 0)
    again = f"/field/photos/{PhotoUpload.objects.get().pk}/again/"
    assert "It still waits. “IMG 1.jpg” was not added" in client.post(again, follow=True).text
    actions.leave_photo_out(PhotoUpload.objects.get().pk, by=member, at=now())
    assert client.post(again).status_code == 404
    assert client.get(f"/field/photos/{key}/").json()["state"] == "stored"  # nothing more to do for the phone


def test_a_photograph_of_what_one_no_longer_sees_waits_and_says_whom_to_ask(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    """The leader has made the hole another digger's meanwhile."""
    sent, data, client = make_field.hole(hunt), make.photo_bytes(), client_of(member)
    make_field.answers(member, sent)
    Hole.objects.filter(client_id=sent["client_id"]).update(digger=leader)
    key, _ = begin(client, member, sent["client_id"], data)
    said = part(client, key, data, 0).json()
    assert (said["state"], "not among those you see" in said["why"]) == ("parked", True)
    Hole.objects.filter(client_id=sent["client_id"]).update(digger=member)
    assert client.get(f"/field/photos/{key}/").json()["state"] == "stored"


def test_a_photograph_that_did_not_arrive_as_sent_begins_anew(
    member: User, hunt: Hunt, client_of: As
) -> None:
    hole, data, client = make.hole(hunt, member), make.photo_bytes(), client_of(member)
    key, _ = begin(client, member, str(hole.client_id), data)
    broken = part(client, key, b"x" + data[1:], 0)
    assert (broken.status_code, broken.json()["received"]) == (409, 0)
    assert part(client, key, data, 0).json()["state"] == "stored"


def test_what_is_no_photograph_is_parked_and_left_out_by_its_owner(
    member: User, hunt: Hunt, client_of: As
) -> None:
    hole, client = make.hole(hunt, member), client_of(member)
    key, _ = begin(client, member, str(hole.client_id), b"a letter")
    assert part(client, key, b"a letter", 0).json()["state"] == "parked"
    row = PhotoUpload.objects.get()
    assert "was not added" in client.get("/field/parked/").content.decode()
    client.post(f"/field/photos/{row.pk}/leave/")
    assert (PhotoUpload.objects.get().state, PhotoPart.objects.count()) == ("left out", 0)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"of": "tree"}, "tree"),
        ({"shows": "sideways"}, "sideways"),
        ({"size": 0}, "0 is no size"),
        ({"size": 10**9}, "1000.0 MB"),
        ({"sha256": "x"}, "sha256"),
        ({"client_id": "7"}, "client_id"),
        ({"owner": None}, "owner"),
    ],
)
def test_a_photograph_that_cannot_be_begun_says_why(
    member: User, hunt: Hunt, client_of: As, more: dict[str, Any], words: str
) -> None:
    _, answer = begin(client_of(member), member, str(uuid4()), b"abc", **more)
    assert (answer.status_code, words in answer.json()["why"]) == (400, True)


MISPLACED = [("x", 1, 400), (-1, 1, 400), (5, 1, 409), (0, 300_000, 413), (0, 4, 409)]


@pytest.mark.parametrize(("starts", "size", "status"), MISPLACED)
def test_a_part_in_the_wrong_place_changes_nothing(
    member: User, hunt: Hunt, client_of: As, starts: Any, size: int, status: int
) -> None:
    row = make_field.upload(member, uuid4())
    answer = part(client_of(member), str(row.client_id), b"x" * size, starts)
    assert (answer.status_code, PhotoUpload.objects.get().received) == (status, 0)


def test_a_photograph_of_somebody_else_is_not_there(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    row = make_field.upload(member, uuid4())
    assert part(client_of(leader), str(row.client_id), b"abc", 0).status_code == 404
    _, answer = begin(client_of(leader), leader, str(uuid4()), b"abc", client_id=str(row.client_id))
    assert answer.status_code == 400
