"""Makers for what phones send: envelopes, sendings, photographs in parts, parked records."""

import hashlib
import json
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from field.account import account_of
from field.models import PhoneRecord, PhotoUpload, Reason
from hunts.models import Hunt
from people.models import User
from tests import make

INSIDE = {"lat": 53.6007, "lon": 0.1512, "accuracy_m": 4.0, "method": "averaged", "fixes": 9}


def running(leader: User | None = None, *people: User, **fields: Any) -> Hunt:
    """A hunt that runs today, on which `people` are out."""
    hunt = make.hunt(leader=leader, **({"state": "running", "started_at": now()} | fields))
    for person in people:
        make.attendance(hunt, person)
    return hunt


def sent(
    kind: str, hunt: Hunt | int, /, *, at: datetime | None = None, key: UUID | None = None, **data: Any
) -> dict[str, Any]:
    """An envelope as a phone sends it, of a minute ago."""
    moment = (at or now() - timedelta(minutes=1)).isoformat()
    pk = hunt if isinstance(hunt, int) else hunt.pk
    return {
        "client_id": str(key or uuid4()),
        "kind": kind,
        "hunt": pk,
        "at": moment,
        "device_at": moment,
        "data": data,
    }


def hole(
    hunt: Hunt | int, *, at: datetime | None = None, key: UUID | None = None, **data: Any
) -> dict[str, Any]:
    said = {
        "depth_cm": 12,
        "outcome": "scrap",
        "ground": "stubble",
        "filled": True,
        "notes": "",
        "position": INSIDE,
    }
    return sent("hole", hunt, at=at, key=key, **(said | data))


def find(
    hunt: Hunt | int,
    of: str | None = None,
    *,
    at: datetime | None = None,
    key: UUID | None = None,
    **data: Any,
) -> dict[str, Any]:
    said = {
        "hole": of,
        "object_type": "button",
        "count": 1,
        "coin": "no",
        "materials": ["copper alloy"],
        "notes": "",
    }
    return sent("find", hunt, at=at, key=key, **(said | data))


def sending(user: User, *records: Any, **more: Any) -> str:
    """The body of a sending."""
    return json.dumps(
        {"v": 1, "account": account_of(user), "now": now().isoformat(), "records": list(records)} | more
    )


def post(user: User, *records: Any, client: Client | None = None, **more: Any) -> Any:
    """Send records as `user` and give the answer."""
    if client is None:
        client = Client()
        client.force_login(user)
    return client.post(
        reverse("field:records"), sending(user, *records, **more), content_type="application/json"
    )


def answers(user: User, *records: Any, **more: Any) -> list[dict[str, Any]]:
    """What became of each record."""
    answer = post(user, *records, **more)
    assert answer.status_code == 200, answer.content
    results: list[dict[str, Any]] = answer.json()["results"]
    return results


def upload(user: User, record: UUID, data: bytes = b"abc", **fields: Any) -> PhotoUpload:
    values = {"of": "hole", "shows": "after", "size": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    return PhotoUpload.objects.create(owner=user, record=record, begun_at=now(), **(values | fields))


def parked(owner: User, hunt: Hunt | None, **fields: Any) -> PhoneRecord:
    """A hole that came when the hunt was over."""
    raw = hole(hunt or 1)
    values: dict[str, Any] = {
        "client_id": raw["client_id"],
        "kind": "hole",
        "digest": "0" * 64,
        "reason": Reason.OVER,
        "why": "The hunt is closed.",
        "sent": raw,
        "came_at": now(),
    }
    return PhoneRecord.objects.create(owner=owner, hunt=hunt, **(values | fields))
