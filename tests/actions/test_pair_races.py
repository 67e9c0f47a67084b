"""Two people deciding about one pair or group at once, under real threads."""

from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from finds.actions import GroupError, PairError, decide_apart, decide_same, make_group, propose_pair, take_out
from finds.models import Find, FindGroup, GroupEvent, PairEvent, PairSuggestion
from people.models import User
from people.rights import Role
from tests import make
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def finds(count: int) -> list[Find]:
    make.club()
    hunt = make.hunt()
    finder = make.person()
    return [make.find(hunt, finder) for _ in range(count)]


def two_of_the_committee() -> list[User]:
    return [make.person(Role.COMMITTEE, name=name) for name in ("Cora Boulder", "Cid Shingle")]


def pair() -> PairSuggestion:
    one, two = finds(2)
    return propose_pair(one.pk, two.number, by=one.finder, at=now(), words="one furrow")


def kinds(ends: list[Any]) -> list[str]:
    return sorted(type(end).__name__ for end in ends)


@pytest.mark.parametrize("second", [decide_same, decide_apart])
def test_of_two_decisions_at_once_one_stands_and_the_other_is_told(second) -> None:
    there, (one, two) = pair(), two_of_the_committee()
    ends = together(
        lambda: decide_same(there.pk, by=one, at=now(), words="touching"),
        lambda: second(there.pk, by=two, at=now(), words="looked at it"),
    )
    told = [end for end in ends if isinstance(end, PairError)]
    assert len(told) == 1
    assert "already by" in str(told[0])
    assert PairEvent.objects.filter(pair=there).exclude(verb="proposed").count() == 1
    assert FindGroup.objects.count() <= 1


def test_two_groups_that_share_a_find_become_one_without_waiting_for_each_other() -> None:
    a, b, c, d = (find.number for find in finds(4))
    one, two = two_of_the_committee()

    def group(by: User, *numbers: str) -> FindGroup:
        return make_group(numbers, by=by, at=now(), reasons="in one clod", client_id=uuid4())

    group(one, a, b)
    ends = together(lambda: group(one, a, c), lambda: group(two, b, d))
    assert kinds(ends) == ["FindGroup", "FindGroup"]
    assert len(set(Find.objects.values_list("group", flat=True))) == 1


def test_one_find_taken_out_twice_at_once_leaves_once() -> None:
    rows, (one, two) = finds(3), two_of_the_committee()
    there = make_group([row.number for row in rows], by=one, at=now(), reasons="x", client_id=uuid4())
    ends = together(
        *(lambda by=by: take_out(there.pk, rows[0].pk, by=by, at=now(), words="x") for by in (one, two))
    )
    assert kinds(ends) == ["Find", "GroupError"]
    assert any("taken out by" in str(end) for end in ends if isinstance(end, GroupError))
    assert GroupEvent.objects.filter(group=there, verb="left").count() == 1
