"""The addresses of the field page: who gets what, what needs somebody, a file from a phone; photographs are apart."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils.timezone import now

from field.account import account_of
from field.models import PhoneRecord
from hunts.models import Hole, Hunt
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
