"""Two servers with the same record at the same moment: one row, under real threads."""

from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from field import actions
from field.intake import take
from field.models import PhoneRecord, PhotoUpload
from field.photos import try_photo
from finds.models import Find
from hunts.models import Hole, HolePhoto, IncidentPhoto
from tests import make, make_field
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def running() -> tuple[Any, Any]:
    make.club()
    member = make.person()
    return make_field.running(None, member), member


def failures(results: list[Any]) -> list[Any]:
    return [each for each in results if isinstance(each, Exception)]


def test_one_sending_taken_by_four_servers_is_stored_once() -> None:
    hunt, member = running()
    hole = make_field.hole(hunt)
    batch = [make_field.find(hunt, hole["client_id"]), hole, make_field.hole(hunt)]

    def serve() -> list[str]:
        return [row.state for row in take(batch, by=member, at=now(), device_now=None)]

    results = together(*[serve] * 4)
    assert failures(results) == []
    assert {state for each in results for state in each} <= {"stored", "again", "waiting"}
    assert (Hole.objects.count(), Find.objects.count(), PhoneRecord.objects.count()) == (2, 1, 3)
    assert sorted(Hole.objects.values_list("number", flat=True)) == [1, 2]


def test_two_accounts_with_one_key_make_one_row() -> None:
    hunt, member = running()
    other = make.attendance(hunt, make.person()).sign_up.user
    sent = make_field.hole(hunt)
    results = together(
        *(lambda by=by: take([sent], by=by, at=now(), device_now=None) for by in (member, other))
    )
    assert failures(results) == []
    assert sorted(row.state for each in results for row in each) == ["parked", "stored"]
    assert Hole.objects.get().digger == PhoneRecord.objects.get().owner


@pytest.mark.parametrize(("of", "model"), [("hole", HolePhoto), ("incident", IncidentPhoto)])
def test_the_last_part_sent_twice_attaches_one_photograph(of: str, model: Any) -> None:
    hunt, member = running()
    record = make.hole(hunt, member) if of == "hole" else make.incident(hunt, member)
    data = make.photo_bytes()
    upload = make_field.upload(member, record.client_id, data, of=of)

    def send() -> str:
        actions.add_part(upload.pk, data, starts=0, by=member, at=now())
        return try_photo(PhotoUpload.objects.get(pk=upload.pk), by=member, at=now()).state

    assert failures(together(*[send] * 3)) == []
    assert (model.objects.count(), PhotoUpload.objects.get().state) == (1, "stored")


def test_a_photograph_begun_twice_at_once_is_one() -> None:
    _, member = running()
    about = {
        "client_id": uuid4(),
        "of": "hole",
        "record": uuid4(),
        "shows": "open",
        "size": 3,
        "sha256": "0" * 64,
    }

    def begin() -> int:
        return actions.begin_photo(by=member, at=now(), **about).pk

    results = together(*[begin] * 3)
    assert failures(results) == []
    assert len(set(results)) == PhotoUpload.objects.count() == 1
