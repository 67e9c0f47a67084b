"""Two people record or plan at the same moment, under real threads."""

from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import localdate, now

from finds.actions import hand_over
from finds.actions.custody import first_holder
from finds.models import CustodyEntry, HandOver
from people.rights import Role
from reports.actions import plan_officer_visit, record_officer_visit
from reports.models import OfficerVisit
from tests import make
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def scene() -> tuple[list[Any], list[Any]]:
    make.club()
    hunt = make.hunt(state="running")
    finds = [make.find(hunt, make.person()) for _ in range(3)]
    for find in finds:
        first_holder(find, by=find.finder, at=now())
    return finds, [make.person(Role.COMMITTEE), make.person(Role.SECRETARY)]


def plan(finds: list[Any], by: Any) -> OfficerVisit:
    details = {"on": localdate(), "to_name": "Ida Drift", "to_holder": "officer", "taken_by": by.name}
    return plan_officer_visit(
        [find.pk for find in finds], by=by, at=now(), client_id=uuid4(), purpose="Recording", **details
    )


def failures(results: list[Any]) -> list[Any]:
    return [each for each in results if isinstance(each, Exception)]


def test_two_who_record_the_same_visit_hand_over_once() -> None:
    finds, people = scene()
    visit = plan(finds, people[0])

    def go(by: Any) -> Any:
        return record_officer_visit(visit.pk, by=by, at=now(), evidence="receipt", conditions={}, left={})

    assert failures(together(*(lambda by=by: go(by) for by in people * 2))) == []
    assert HandOver.objects.count() == 3
    assert CustodyEntry.objects.filter(step=2).count() == 3


def test_of_two_lists_with_one_find_one_is_kept() -> None:
    finds, people = scene()
    results = together(*(lambda by=by: plan(finds, by) for by in people))
    assert len(failures(results)) == 1
    assert "is on the list of" in str(failures(results)[0])
    assert OfficerVisit.objects.count() == 1


def test_a_hand_over_at_the_same_moment_leaves_one_holder_and_no_half_visit() -> None:
    finds, people = scene()
    visit = plan(finds, people[0])

    def away() -> Any:
        return hand_over(
            finds[1].pk,
            by=people[1],
            at=now(),
            after_step=1,
            to_holder="museum",
            to_name="Museum",
            purpose="x",
        )

    def go() -> Any:
        return record_officer_visit(
            visit.pk, by=people[0], at=now(), evidence="receipt", conditions={}, left={}
        )

    assert len(failures(together(away, go))) == 1
    steps = {find.pk: find.custody.count() for find in finds}
    whole = set(steps.values()) == {2}
    assert whole or steps == {finds[0].pk: 1, finds[1].pk: 2, finds[2].pk: 1}
