"""Errands of a phone that sends what it kept: records together, and a photograph in parts."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from django.urls import reverse

from field.account import account_of
from field.models import PhoneRecord, PhotoUpload
from finds.models import Find
from hunts.models import Hole, HolePhoto, Incident, IncidentPhoto
from people.models import User
from tests import make_field
from tests.faults.errands import Errand, Send, exactly_once, told_once
from tests.faults.pictures import digest, picture
from tests.faults.stage import Stage
from tests.faults.wire import Asked, as_json

KEPT = {"stored", "again"}


def sync(stage: Stage) -> Errand:
    """Some holes and a find in one of them, in any order; then a photograph of the first hole."""
    who = stage.member()
    holes = [stage.key() for _ in range(stage.rng.randrange(1, 5))]
    one, sent_as, data = stage.key(), stage.key(), picture(stage)
    records = [make_field.hole(stage.hunt, key=key, position=stage.position()) for key in holes]
    records.append(make_field.find(stage.hunt, str(holes[0]), key=one))
    stage.rng.shuffle(records)
    said: dict[str, bool] = {}

    def go(send: Send) -> bool:
        if not _records(send, who, records, said):
            return False
        said["photo"] = _photo(send, who, ("hole", holes[0]), sent_as, data)
        return all(said.values())

    def check(acknowledged: bool) -> Iterator[str]:
        for key in holes:
            yield from _stored(Hole, key, "hole.log", said.get(str(key), False))
        yield from _stored(Find, one, "find.record", said.get(str(one), False))
        rows = HolePhoto.objects.filter(hole__client_id=holes[0], original_sha256=digest(data))
        yield from exactly_once(f"a phone's photograph of hole {holes[0]}", rows, said.get("photo", False))

    return Errand("phone", who, go, check)


def gap(stage: Stage) -> Errand:
    """A gap in a hedge where nothing was dug, and a photograph of it."""
    who, key, sent_as, data = stage.member(), stage.key(), stage.key(), picture(stage)
    record = make_field.sent(
        "incident", stage.hunt, key=key, kind="gate", words="A gap in the hedge", told=""
    )
    said: dict[str, bool] = {}

    def go(send: Send) -> bool:
        if not _records(send, who, [record], said):
            return False
        said["photo"] = _photo(send, who, ("incident", key), sent_as, data)
        return all(said.values())

    def check(acknowledged: bool) -> Iterator[str]:
        yield from _stored(Incident, key, "incident.add", said.get(str(key), False))
        rows = IncidentPhoto.objects.filter(incident__client_id=key, original_sha256=digest(data))
        yield from exactly_once(f"a phone's photograph of incident {key}", rows, said.get("photo", False))
        for row in rows:
            yield from told_once("incident.photos", row.incident)

    return Errand("gap", who, go, check)


def _records(send: Send, who: User, records: list[Any], said: dict[str, bool]) -> bool:
    """Whether they were answered; `said` then holds of each whether it is kept."""
    about = {"v": 1, "account": account_of(who), "records": records}
    answer = send(as_json(reverse("field:records"), about))
    if answer is None or answer.status != 200:
        return False
    said.update({row["client_id"]: row["state"] in KEPT for row in answer.json()["results"]})
    return True


def _stored(model: Any, key: UUID, verb: str, acknowledged: bool) -> Iterator[str]:
    rows = model.objects.filter(client_id=key)
    yield from exactly_once(f"a phone's {model.__name__.lower()} {key}", rows, acknowledged)
    stored = PhoneRecord.objects.filter(client_id=key, state="stored").count()
    if rows.count() != stored:
        yield f"record {key} of a phone is stored {stored} times and there are {rows.count()} of it"
    for row in rows:
        yield from told_once(verb, row)


def _photo(send: Send, who: User, owner: tuple[str, UUID], key: UUID, data: bytes) -> bool:
    """In three parts; where the server has got to is asked again whenever it says otherwise."""
    said = {"of": owner[0], "shows": "after", "size": len(data), "sha256": digest(data)}
    about = {"account": account_of(who), "client_id": str(key), "owner": str(owner[1]), "name": "p.jpg"}
    answer, path = (
        send(as_json(reverse("field:photo_begin"), about | said)),
        reverse("field:photo", args=[key]),
    )
    piece = len(data) // 3 + 1
    for _ in range(20):
        if answer is None or answer.status not in {200, 409}:
            return False
        state = answer.json()
        if state["state"] == "stored":
            return True
        begun = state["received"]
        head = (("Upload-Offset", str(begun)),)
        part = data[begun : begun + piece]
        asked = (
            Asked("PATCH", path, part, "application/offset+octet-stream", head)
            if part
            else Asked("GET", path)
        )
        answer = send(asked)
    return False


def half_photos() -> Iterator[str]:
    """What came of every photograph that phones sent: whole with its record, or its parts as far as they came."""
    for row in PhotoUpload.objects.all():
        parts = [len(part) for part in row.parts.values_list("data", flat=True)]
        if row.state == "stored" and parts:
            yield f"{row} is stored and keeps {len(parts)} parts"
        if row.state == "waiting" and sum(parts) != row.received:
            yield f"{row} says {row.received} bytes and has {sum(parts)}"
        of_hole = HolePhoto.objects.filter(hole__client_id=row.record, original_sha256=row.sha256)
        of_incident = IncidentPhoto.objects.filter(incident__client_id=row.record, original_sha256=row.sha256)
        there = of_hole.count() + of_incident.count()
        if row.state == "stored" and there != 1:
            yield f"{row} is stored and there are {there} of it"
