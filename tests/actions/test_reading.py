"""Very many looks at locked places by one account are noticed, told and answered; on both databases."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils.timezone import localtime, now

from finds.actions import see_findspots
from finds.models import FindGroup
from hunts.actions import see_hole
from people.actions import ReadingError, answer_reading
from people.looking import WINDOWS
from people.models import AuditEntry, Letter, UnusualReading, User
from people.rights import Right
from tests import make
from tests.today import items_of

pytestmark = pytest.mark.django_db
MANY = WINDOWS[0].places
SECTION = "Many locked findspots looked at"
NOON = localtime().replace(hour=12)  # so that no test runs over midnight


@pytest.fixture
def hunt(leader: User) -> Any:
    make.club()
    return make.hunt(leader=leader, state="running")


@pytest.fixture
def finds(hunt: Any, leader: User) -> list[Any]:
    return [make.find(hunt, leader, locked=True) for _ in range(MANY + 2)]


def look(finds: list[Any], by: User, at: datetime = NOON) -> None:
    for number, find in enumerate(finds):
        see_findspots([find], by=by, at=at + timedelta(seconds=number), where="find page")


def test_work_on_a_few_cases_is_not_noticed(finds, committee) -> None:
    look(finds[: MANY - 1] * 3, committee)
    assert not UnusualReading.objects.exists()
    assert not Letter.objects.exists()


def test_many_places_in_an_hour_are_noticed_once_a_day_and_told(finds, committee, secretary, member) -> None:
    other = make.person(*committee.roles, name="Ida Drift")
    look(finds, committee)
    (row,) = UnusualReading.objects.all()
    assert (row.reader, row.places, row.within) == (committee, len(finds), "an hour")
    told = list(Letter.objects.values_list("to", flat=True))
    assert {committee.email, other.email, secretary.email} <= set(told)
    assert len(told) == len(set(told))
    assert member.email not in told


def test_the_letter_names_no_find_and_no_place(finds, committee, secretary) -> None:
    look(finds, committee)
    texts = "\n".join(f"{row.subject}\n{row.text}\n{row.html}" for row in Letter.objects.all())
    assert "Cora Boulder" in texts
    assert not any(find.number in texts for find in finds)
    assert "53.6" not in texts
    assert "0.15" not in texts


def test_another_day_is_another_letter(finds, committee, secretary) -> None:
    look(finds, committee, NOON - timedelta(days=2))
    look(finds, committee)
    assert UnusualReading.objects.count() == 2
    assert Letter.objects.filter(to=secretary.email).count() == 2


def test_a_group_is_one_place(finds, committee) -> None:
    group = FindGroup.objects.create(reasons="lay together", made_at=now(), made_by=committee)
    for find in finds:
        type(find).objects.filter(pk=find.pk).update(group=group)
    look(finds, committee)
    assert not UnusualReading.objects.exists()


def test_holes_count_as_well(hunt, leader, committee) -> None:
    for number in range(MANY):
        hole = make.hole(hunt, leader, locked=True)
        see_hole(hole, by=committee, at=NOON + timedelta(seconds=number), where="hole page")
    assert UnusualReading.objects.get().places == MANY


def test_looks_of_several_accounts_are_not_added_up(finds, committee, leader) -> None:
    look(finds[:6], committee)
    look(finds[6:], leader)
    assert not UnusualReading.objects.exists()


def shown(user: User) -> list[str]:
    return [item.title for item in items_of(user, SECTION)]


def test_today_asks_the_others_until_somebody_answers(finds, committee, secretary, member) -> None:
    look(finds, committee)
    assert shown(secretary) == ["Cora Boulder"]
    assert shown(committee) == shown(member) == []
    answer_reading(UnusualReading.objects.get().pk, by=secretary, at=now(), words="The visit of the officer.")
    assert shown(secretary) == []


def test_nobody_answers_for_themselves(finds, committee) -> None:
    look(finds, committee)
    with pytest.raises(ReadingError, match="your own looks"):
        answer_reading(UnusualReading.objects.get().pk, by=committee, at=now(), words="It was me.")
    facts = {"since": NOON, "noticed_at": NOON, "places": 25, "within": "a day"}
    said = {"answered_at": NOON, "answered_by": committee, "answer": "It was me."}
    row = UnusualReading(reader=committee, on=(NOON - timedelta(9)).date(), **facts, **said)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


def test_who_may_not_read_the_trail_answers_nothing(finds, committee, member) -> None:
    look(finds, committee)
    assert not member.holds(Right.SEE_AUDIT)
    with pytest.raises(PermissionDenied):
        answer_reading(UnusualReading.objects.get().pk, by=member, at=now(), words="It was nothing.")


def test_the_first_answer_stands(finds, committee, secretary) -> None:
    look(finds, committee)
    pk = UnusualReading.objects.get().pk
    answer_reading(pk, by=secretary, at=now(), words="The officer's visit.")
    again = answer_reading(pk, by=secretary, at=now(), words="Something else.")
    assert again.answer == "The officer's visit."
    assert AuditEntry.objects.filter(verb="reading.answer").count() == 1
