"""Two people say it at the same moment: one incident for each find and kind, under real threads."""

from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from finds.actions import answer_facts, record_find
from finds.models import FindDrill
from hunts.models import Incident, IncidentEvent
from tests import make
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def running() -> tuple[Any, Any]:
    make.club()
    hunt = make.hunt(state="running", starts_at="00:01", ends_at="23:59")
    return hunt, make.attendance(hunt, make.person()).sign_up.user


def find_of(hunt: Any, finder: Any, **fields: Any) -> Any:
    values = {"finder": finder, "site": hunt.sites.all()[0], "found_at": now(), "object_type": "lump"}
    return record_find(
        hunt.pk, by=finder, at=now(), materials={}, **({"client_id": uuid4()} | values | fields)
    )


def failures(results: list[Any]) -> list[Any]:
    return [each for each in results if isinstance(each, Exception)]


def test_four_who_answer_at_once_open_one_incident() -> None:
    hunt, finder = running()
    find = find_of(hunt, finder)
    people = [finder, hunt.leader] * 2

    def say(by: Any) -> Any:
        return answer_facts(find.pk, by=by, at=now(), answers={"ordnance": "yes"})

    assert failures(together(*(lambda by=by: say(by) for by in people))) == []
    assert FindDrill.objects.count() == Incident.objects.count() == 1
    assert IncidentEvent.objects.filter(verb="opened").count() == 1


def test_two_finds_out_of_one_hole_said_at_once_share_its_incident() -> None:
    hunt, finder = running()
    hole = make.hole(hunt, finder)
    finds = [find_of(hunt, finder, hole=hole) for _ in range(2)]

    def say(find: Any) -> Any:
        return answer_facts(find.pk, by=finder, at=now(), answers={"human_remains": "yes"})

    assert failures(together(*(lambda find=find: say(find) for find in finds))) == []
    assert FindDrill.objects.count() == 2
    assert Incident.objects.count() == 1
