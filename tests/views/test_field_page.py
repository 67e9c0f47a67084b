"""The addresses of the field page: who gets what, photographs in parts, what needs somebody, a file from a phone."""

import hashlib
import json
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils.timezone import now

from field import actions
from field.account import account_of
from field.models import PhoneRecord, PhotoPart, PhotoUpload
from finds.models import FindPhoto
from hunts.models import Hole, HolePhoto, Hunt, IncidentPhoto
from people.models import AuditEntry, User
from people.rights import Role
from tests import make, make_field, make_kit

pytestmark = pytest.mark.django_db
As = Callable[[User | None], Client]
JSON = "application/json"


@pytest.fixture
def hunt(member: User, leader: User) -> Hunt:
    make.club()
    return make_field.running(leader, member)


def test_signed_out_is_told_in_json_and_never_sent_elsewhere(
    hunt: Hunt, stranger: User, client_of: As
) -> None:
    answer = client_of(None).post("/field/records/", "{}", content_type=JSON)
    assert (answer.status_code, answer.json()["sign_in"]) == (401, "/club/sign-in/")
    ended = client_of(stranger).get("/field/me/")
    assert (ended.status_code, ended.json()["ended"]) == (403, True)


def test_the_account_tells_two_people_apart_and_names_neither(
    member: User, leader: User, client_of: As
) -> None:
    said = client_of(member).get("/field/me/").json()
    assert said["account"] == account_of(member) != account_of(leader)
    assert said["name"] == member.name


def test_a_sending_needs_the_token_as_any_other(member: User, hunt: Hunt) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(member)
    client.get("/field/me/")
    body, token = make_field.sending(member, make_field.hole(hunt)), client.cookies["csrftoken"].value
    assert client.post("/field/records/", body, content_type=JSON).status_code == 403
    sent = client.post("/field/records/", body, content_type=JSON, headers={"X-CSRFToken": token})
    assert (sent.status_code, Hole.objects.count()) == (200, 1)


def test_records_of_another_account_are_not_taken(member: User, leader: User, hunt: Hunt) -> None:
    answer = make_field.post(leader, make_field.hole(hunt), account=account_of(member))
    assert (answer.status_code, "another account" in answer.json()["why"]) == (409, True)
    assert PhoneRecord.objects.count() == 0


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        (b'{"v": NaN}', 400, "NaN"),
        (b"[]", 400, "no object"),
        (b'{"v": 1, "records": "\\u0000"}', 400, "U+0000"),
        (b"[" * 100_000, 400, "deeper"),
        (b'"' + b"x" * 2_100_000 + b'"', 413, "bytes"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(
    member: User, client_of: As, body: bytes, status: int, words: str
) -> None:
    answer = client_of(member).post("/field/records/", body, content_type=JSON)
    assert (answer.status_code, words in answer.json()["why"]) == (status, True)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"v": 2}, "Version 2"),
        ({"records": {}}, "no list of records"),
        ({"records": [1] * 51}, "51 records"),
        ({"now": "noon"}, '"noon" is no time for now'),
    ],
)
def test_a_sending_of_another_shape_is_refused_in_words(
    member: User, more: dict[str, Any], words: str
) -> None:
    answer = make_field.post(member, **more)
    assert (answer.status_code, words in answer.json()["why"]) == (400, True)


# Photographs ---------------------------------------------------------------------------------------------------


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


# What needs somebody ------------------------------------------------------------------------------------------


def test_its_maker_sees_a_parked_record_and_its_leader_only_that_it_is_there(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    sent = make_field.hole(hunt, position=None, text="TA 123 45", notes="by the old ash")
    (answer,) = make_field.answers(member, sent)
    mine = client_of(member).get(answer["way_on"]).content.decode()
    theirs = client_of(leader).get("/field/parked/").content.decode()
    assert all(words in mine for words in ("TA 123 45", "by the old ash", "Correct"))
    assert member.name in theirs
    assert not any(words in theirs for words in ("TA 123", "old ash"))


def test_correcting_on_the_page_stores_it_once(member: User, hunt: Hunt, client_of: As) -> None:
    sent = make_field.hole(hunt, depth_cm=None)
    make_field.answers(member, sent)
    row, client = PhoneRecord.objects.get(), client_of(member)
    page = f"/field/parked/{row.pk}/correct/"
    form = client.get(page).context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    wrong = client.post(page, data | {"depth_cm": "900"})
    assert "900 cm is deeper than 200 cm" in wrong.content.decode()
    assert client.post(page, data | {"depth_cm": "14"}).status_code == 302
    hole = Hole.objects.get()
    assert (hole.depth_cm, hole.lon, hole.accuracy_m) == (14, 0.1512, 4.0)
    assert (
        make_field.answers(member, sent)[0]["state"] == "again"
    )  # the phone sends what it has: nothing changes
    assert Hole.objects.get().depth_cm == 14


def test_a_find_a_reading_and_an_incident_can_be_corrected_too(
    member: User, hunt: Hunt, client_of: As
) -> None:
    kit = make_kit.kit(member)
    parked = [
        (make_field.find(hunt, object_type=""), {"object_type": "strap end"}),
        (
            make_field.sent("reading", hunt, environment="arable", kit=kit.pk, scale="", notes=""),
            {"value": "61.5"},
        ),
        (make_field.sent("incident", hunt, kind="gate", words="", told=""), {"words": "Off its hinge"}),
        (make_field.sent("sign_out", hunt, unfilled=[1], words=""), {"words": "The farmer looks"}),
    ]
    make.hole(hunt, member)
    client = client_of(member)
    make_field.answers(member, *(sent for sent, _ in parked))
    for row, (_, right) in zip(PhoneRecord.objects.order_by("pk"), parked, strict=True):
        page = f"/field/parked/{row.pk}/correct/"
        form = client.get(page).context["form"]
        data = {name: form[name].value() for name in form.fields if form[name].value() is not None}
        answer = client.post(page, data | right)
        assert answer.status_code == 302, answer.context["form"].errors
    assert set(PhoneRecord.objects.values_list("state", flat=True)) == {"stored"}


def test_leaving_out_keeps_the_row_with_the_reason(member: User, hunt: Hunt, client_of: As) -> None:
    sent = make_field.hole(hunt, depth_cm=None)
    make_field.answers(member, sent)
    row, client = PhoneRecord.objects.get(), client_of(member)
    assert "Say why" in client.post(f"/field/parked/{row.pk}/leave/", {"why": ""}).content.decode()
    client.post(f"/field/parked/{row.pk}/leave/", {"why": "Logged on the page already"})
    row.refresh_from_db()
    assert (row.state, row.left_out_why) == ("left out", "Logged on the page already")
    assert row.sent["data"] == sent["data"]
    assert make_field.answers(member, sent)[0]["state"] == "again"  # the phone need not keep it


def test_a_leader_of_another_club_day_may_let_in_and_a_member_may_not(
    member: User, hunt: Hunt, client_of: As
) -> None:
    row = make_field.parked(member, hunt)
    assert client_of(make.person()).post(f"/field/parked/{row.pk}/let-in/").status_code == 404
    assert client_of(member).post(f"/field/parked/{row.pk}/let-in/").status_code == 403
    row.refresh_from_db()
    assert row.let_in_by is None
    secretary = make.person(Role.SECRETARY)
    assert client_of(secretary).post(f"/field/parked/{row.pk}/let-in/").status_code == 302
    assert AuditEntry.objects.get(verb="phone.let_in").by == secretary


def test_today_says_what_needs_me(member: User, leader: User, hunt: Hunt, client_of: As) -> None:
    make_field.parked(member, hunt)
    make_field.parked(member, hunt)
    assert "2 records from your phone need you" in client_of(member).get("/").content.decode()
    assert "2 records of members wait" in client_of(leader).get("/").content.decode()


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_no_more_for_many(
    member: User, leader: User, hunt: Hunt, client_of: As, count: int, django_assert_max_num_queries: Any
) -> None:
    for _ in range(count):
        make_field.parked(member, hunt)
        make_field.parked(leader, hunt)
    client = client_of(leader)
    with django_assert_max_num_queries(16):
        client.get("/field/parked/")


# A file ---------------------------------------------------------------------------------------------------------


def file(client: Client, body: str) -> Any:
    return client.post("/field/file/", {"file": SimpleUploadedFile("records.json", body.encode())})


def test_a_file_from_a_phone_is_taken_in_once(member: User, hunt: Hunt, client_of: As) -> None:
    batch = [make_field.hole(hunt), make_field.hole(hunt, depth_cm=None), 7]
    client, body = client_of(member), make_field.sending(member, *batch)
    page = file(client, body).content.decode()
    assert all(words in page for words in ("Hole 1", "Needs you", "Not a record"))
    assert "Stored before" in file(client, body).content.decode()
    assert make_field.answers(member, batch[0])[0]["state"] == "again"
    assert Hole.objects.count() == 1


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("{", "not JSON"),
        ("[]", "no file of the field page"),
        ('{"v": 1, "account": "x", "records": []}', "another account"),
    ],
)
def test_a_file_that_is_not_mine_or_none_says_so(member: User, client_of: As, body: str, words: str) -> None:
    make.club()
    assert words in file(client_of(member), body).content.decode()


# The pack -------------------------------------------------------------------------------------------------------


def test_the_pack_holds_the_day_and_nobody_elses_things(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    own = make.hole(hunt, member)
    make.hole(hunt, leader)
    make_kit.ground_reading(hunt, make_kit.kit(member))
    make_kit.kit(leader)
    make_kit.bench(make_kit.kit(member), "nail", 12, 14)
    pack = client_of(member).get(f"/field/hunts/{hunt.pk}/").json()
    assert [row["client_id"] for row in pack["holes"]] == [str(own.client_id)]
    assert (len(pack["kits"]), len(pack["bench"])) == (2, 1)
    assert (pack["hunt"]["code"], pack["sign_up"], pack["signed_in"]) == (hunt.code, "in", True)
    assert pack["sites"][0]["boundary"]["type"] == "MultiPolygon"
    assert {row["name"] for row in pack["reading_fields"]} == {"environment", "value", "scale", "notes"}
    assert {row["kind"] for row in pack["drills"]} >= {"remains", "ordnance", "deposit"}
    holder = hunt.permission.consents.get().landholder
    assert not any(words in json.dumps(pack) for words in (holder.name, holder.phone, str(own.lat)))


def test_only_todays_hunts_with_a_place_come_along(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    other = make.hunt(leader=leader)
    make.sign_up(make.hunt(on=make.days(1)), member)
    waits = make.sign_up(make.hunt(), member, state="waiting").hunt
    listed = client_of(member).get("/field/hunts/").json()["hunts"]
    assert [row["pk"] for row in listed] == [hunt.pk]
    assert {row["pk"] for row in client_of(leader).get("/field/hunts/").json()["hunts"]} == {
        hunt.pk,
        other.pk,
    }
    for pk in (other.pk, waits.pk, 99_999):
        assert client_of(member).get(f"/field/hunts/{pk}/").status_code == 404


def test_why_the_gate_is_shut_is_not_told_to_members(
    member: User, leader: User, hunt: Hunt, client_of: As
) -> None:
    type(hunt.permission).objects.filter(pk=hunt.permission_id).update(state="paused", paused_why="a quarrel")
    mine, theirs = (
        client_of(user).get(f"/field/hunts/{hunt.pk}/").json()["gate"] for user in (member, leader)
    )
    assert mine["answer"] == theirs["answer"] == "shut"
    assert (len(mine["words"]), mine["words"] == theirs["words"]) == (1, False)


def test_the_pack_asks_no_more_for_many_holes(
    member: User, hunt: Hunt, client_of: As, django_assert_max_num_queries: Any
) -> None:
    for _ in range(12):
        make.hole(hunt, member)
        make_kit.bench(make_kit.kit(member), "nail", 12)
    client = client_of(member)
    with django_assert_max_num_queries(60):
        client.get(f"/field/hunts/{hunt.pk}/")


def test_nothing_of_it_stays_in_a_cache(member: User, hunt: Hunt, client_of: As) -> None:
    for page in ("/field/me/", "/field/hunts/", f"/field/hunts/{hunt.pk}/", "/field/parked/"):
        assert "no-store" in client_of(member).get(page)["Cache-Control"]
    assert now() > hunt.started_at
