"""One form sent twice at the same moment is one record, and nobody is shown a fault."""

from collections.abc import Callable
from datetime import time, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from finds.actions import make_sheet, record_find
from finds.models import Find, FindNumber, Sheet
from hunts import actions
from hunts.models import Hunt, Incident, LoneHunt
from people.models import AuditEntry, User
from people.rights import Role
from tests import make, make_settlement
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def hunt() -> Hunt:
    make.club()
    hunt = make.hunt(state="running", starts_at=time(0), ends_at=time(23, 59))
    make.attendance(hunt, make.person(name="Mo Saltwort"))
    return hunt


def on_it(hunt: Hunt) -> User:
    return User.objects.get(sign_ups__hunt=hunt)


def thrice(job: Callable[[], Any]) -> Any:
    """What all of three at once came to: the same row, and nothing raised."""
    ends = together(job, job, job)
    assert [end for end in ends if isinstance(end, Exception)] == []
    assert len({end.pk for end in ends}) == 1
    return ends[0]


def test_one_find(hunt: Hunt) -> None:
    who, key = on_it(hunt), uuid4()
    fields: dict[str, Any] = {"object_type": "buckle", "site": hunt.sites.all()[0], "found_at": now()}
    thrice(lambda: record_find(hunt.pk, by=who, at=now(), client_id=key, materials={}, finder=who, **fields))
    assert (Find.objects.count(), FindNumber.objects.count()) == (1, 1)


def test_one_incident(hunt: Hunt) -> None:
    who, key = on_it(hunt), uuid4()
    said: dict[str, Any] = {"kind": "gate", "happened_at": now(), "words": "It was open."}
    row = thrice(lambda: actions.add_incident(hunt, by=who, at=now(), client_id=key, **said))
    assert Incident.objects.count() == row.events.count() == 1
    assert AuditEntry.objects.filter(verb="incident.add").count() == 1


def test_one_planned_hunt(hunt: Hunt) -> None:
    key, site = uuid4(), hunt.sites.all()[0]
    said: dict[str, Any] = {
        "title": "Ten Acre",
        "on": make.days(7),
        "starts_at": time(9),
        "ends_at": time(16),
    }
    said |= {"capacity": 8, "leader": hunt.leader}
    assert hunt.permission is not None
    thrice(
        lambda: actions.plan_hunt(hunt.permission, [site], by=hunt.leader, at=now(), client_id=key, **said)
    )
    assert Hunt.objects.filter(client_id=key).count() == 1


def test_one_lone_hunt(hunt: Hunt) -> None:
    who, key = on_it(hunt), uuid4()
    said: dict[str, Any] = {
        "where": "the foreshore",
        "contact_name": "Gil Wrack",
        "contact_phone": "01632 960500",
    }
    said |= {"out_at": now(), "due_back": now() + timedelta(hours=3)}
    thrice(lambda: actions.go_out_alone(by=who, at=now(), client_id=key, **said))
    assert LoneHunt.objects.count() == 1


def test_one_sheet(hunt: Hunt) -> None:
    secretary, key = make.person(Role.SECRETARY), uuid4()
    find = make_settlement.valued(make.find(hunt, on_it(hunt)), "800", by=secretary)
    thrice(lambda: make_sheet([find.pk], by=secretary, at=now(), client_id=key, title="A sheet"))
    assert Sheet.objects.count() == 1
