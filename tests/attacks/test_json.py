"""JSON that a phone would never send, at the addresses of the field page.

Sources: RFC 8259 (sections 4 on names that come twice, 6 on numbers, 9 on limits); OWASP ASVS 5.0.0, 1.5.2 and 2.2.1.
"""

import json
from typing import Any
from uuid import uuid4

import pytest

from field.account import account_of
from hunts.models import Hole
from tests import make_field
from tests.attacks.ground import Ground, writes

JSON = "application/json"


def sending(ground: Ground, *records: Any, **more: Any) -> dict[str, Any]:
    return {"v": 1, "account": account_of(ground.world.member), "records": list(records), **more}


def post(ground: Ground, body: Any, **options: Any) -> Any:
    text = body if isinstance(body, str | bytes) else json.dumps(body)
    return ground.client("member").post("/field/records/", text, content_type=JSON, **options)


UNREADABLE = {
    "a hundred thousand brackets": "[" * 100_000,
    "a hundred thousand objects": '{"a":' * 100_000,
    "not a number": '{"v": NaN}',
    "without end": '{"v": Infinity}',
    "a number without end": '{"v": 1e999}',
    "a number of a million digits": '{"v": ' + "9" * 1_000_000 + "}",
    "a list": "[]",
    "a text": '"records"',
    "nothing": "",
    "null": "null",
    "half of it": '{"v": 1, "records": [',
    "two in one": '{"v": 1}{"v": 1}',
    "with comments": '{"v": 1 /* x */}',
    "not UTF-8": b'{"v": "\xff\xfe"}',
    "another encoding": '{"v": 1}'.encode("utf-16"),
    "U+0000": '{"v": "\\u0000"}',
    "XML": '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><x>&e;</x>',
    "a form": "v=1&records=%5B%5D",
    "too long": '{"v": "' + "a" * 3_000_000 + '"}',
}


@pytest.mark.parametrize("body", UNREADABLE.values(), ids=UNREADABLE)
@pytest.mark.parametrize("path", ["/field/records/", "/field/photos/"])
def test_what_cannot_be_read_is_refused_in_words_and_writes_nothing(
    path: str, body: Any, ground: Ground
) -> None:
    client = ground.client("member")
    with writes() as told:
        answer = client.post(path, body, content_type=JSON)
    assert answer.status_code in {400, 413}
    assert len(answer.json()["why"]) < 300
    assert told == []


WRONG = {
    "a list of lists": [[[]]],
    "a number for a record": 5,
    "an unknown kind": {"kind": "user", "data": {"is_staff": True}},
    "a kind that is a list": {"kind": ["hole"]},
    "a hunt that is true": {"hunt": True},
    "a hunt of another table": {"hunt": -1},
    "a hunt too large": {"hunt": 2**63},
    "a hunt in words": {"hunt": "1 OR 1=1"},
    "a key that is none": {"client_id": "../../x"},
    "a key that is a list": {"client_id": []},
    "a time that is none": {"at": "now"},
    "a time before all": {"at": "0001-01-01T00:00:00Z"},
    "a time after all": {"at": "9999-12-31T23:59:59-23:59"},
    "no content": {"data": None},
    "a deep content": {"data": {"a": {"b": {"c": {"d": {"e": {"f": {"g": {"h": {"i": 1}}}}}}}}}},
    "a position beyond the earth": {"data": {"position": {"lat": 1e14, "lon": 5, "method": "map"}}},
    "a position in words": {"data": {"position": {"lat": "53", "lon": {}, "method": []}}},
    "a depth of words": {"data": {"depth_cm": "'; DROP TABLE hunts_hole; --"}},
    "a digger who is somebody else": {"data": {"digger": 1, "digger_id": 1, "by": 1}},
    "a prototype": {"__proto__": {"locked": False}, "constructor": {"prototype": {}}},
}


@pytest.mark.parametrize("change", WRONG.values(), ids=WRONG)
def test_a_record_that_is_none_is_parked_or_refused(change: Any, ground: Ground) -> None:
    """Never an error of the server, never somebody else's record, and the phone is told about each."""
    record: Any = make_field.hole(ground.world.hunt)
    if isinstance(change, dict):
        record = {**record, **change, "data": {**record["data"], **(change.get("data") or {})}}
        if "data" in change and change["data"] is None:
            record["data"] = None
    else:
        record = change
    holes = Hole.objects.exclude(digger=ground.world.member).count()
    answer = post(ground, sending(ground, record))
    assert answer.status_code in {200, 400}
    assert Hole.objects.exclude(digger=ground.world.member).count() == holes
    if answer.status_code == 200:
        (said,) = answer.json()["results"]
        assert said["state"] in {"parked", "waiting", "stored"}
        assert said["state"] != "stored" or said.get("client_id")


def test_a_name_that_comes_twice_is_read_as_one(ground: Ground) -> None:
    """The last one counts, here and in a browser's own parser; nothing is judged by the first and kept by the last."""
    others = account_of(ground.world.leader)
    mine = account_of(ground.world.member)
    body = f'{{"v": 1, "account": "{mine}", "records": [], "account": "{others}"}}'
    assert post(ground, body).status_code in {403, 409}


@pytest.mark.parametrize("length", ["-1", "1e9", "²", "99999999999", "abc", ""])
def test_a_length_that_lies_is_no_error_of_the_server(length: str, ground: Ground) -> None:
    answer = post(ground, "{}", CONTENT_LENGTH=length)
    assert answer.status_code in {400, 413}


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"]
)
def test_a_form_of_another_site_cannot_pass_for_json(kind: str, ground: Ground) -> None:
    """A form needs no preflight, so the token alone keeps it out (Fetch standard, CORS-safelisted content types)."""
    client = ground.client("member", enforce_csrf_checks=True)
    body = json.dumps(sending(ground, make_field.hole(ground.world.hunt)))
    before = Hole.objects.count()
    assert client.post("/field/records/", body, content_type=kind).status_code == 403
    assert Hole.objects.count() == before


@pytest.mark.parametrize("name", ["anonymous", "lapsed", "other_member"])
def test_a_record_of_a_hunt_that_is_not_theirs_stays_out(name: str, ground: Ground) -> None:
    user = ground.people[name]
    before = Hole.objects.count()
    body = {
        "v": 1,
        "account": account_of(user) if user else str(uuid4()),
        "records": [make_field.hole(ground.world.hunt)],
    }
    ground.client(name).post("/field/records/", json.dumps(body), content_type=JSON)
    assert Hole.objects.count() == before


@pytest.mark.parametrize("offset", ["-1", "1e3", "0x10", " 0", "", "99999999999", "²"])
def test_an_offset_that_is_none_adds_nothing(offset: str, ground: Ground) -> None:
    row = make_field.upload(ground.world.member, uuid4())
    answer = ground.client("member").patch(
        f"/field/photos/{row.client_id}/", b"x" * 10, content_type="application/octet-stream",
        headers={"Upload-Offset": offset},
    )  # fmt: skip
    assert answer.status_code in {400, 409}
    row.refresh_from_db()
    assert row.received == 0
