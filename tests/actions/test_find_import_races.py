"""Two tables at once: nothing is made twice, and every number is given once."""

from typing import Any

import pytest
from django.utils.timezone import now

from finds import actions
from finds.import_file import table_of
from finds.import_rows import plan_rows
from finds.models import Find
from people.models import User
from tests import make
from tests.actions.test_find_imports import row, sent, table
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def hunt(leader: User, member: User) -> Any:
    make.club()
    hunt = make.hunt(
        make.site(code="SF04"), leader=leader, on=make.days(-7), code="H2026-004", state="closed"
    )
    make.sign_up(hunt, member)
    return hunt


def _save(draft: Any, by: User) -> Any:
    seal = plan_rows(table_of(draft), by=by, at=now()).seal
    return lambda: actions.save_find_import(draft.pk, by=by, at=now(), seal=seal)


def test_the_same_table_sent_twice_at_once_is_saved_once(hunt: Any, member: User) -> None:
    data = table(*(row(own_reference=str(n)) for n in range(20)))
    ends = together(*(_save(sent(member, data), member) for _ in range(2)))
    assert sorted(type(end).__name__ for end in ends) == ["ImportChangedError", "list"]
    assert Find.objects.count() == 20


def test_one_draft_saved_three_times_at_once_answers_the_same(hunt: Any, member: User) -> None:
    save = _save(sent(member, table(row(), row())), member)
    ends = together(save, save, save)
    assert len({tuple(sorted(find.pk for find in end)) for end in ends}) == 1
    assert Find.objects.count() == 2


def test_two_tables_of_two_people_get_numbers_of_their_own(hunt: Any, member: User) -> None:
    other = make.person(name="Ned Spit")
    make.sign_up(hunt, other)
    jobs = [
        _save(sent(by, table(*(row(object=f"nail {n}") for n in range(15)))), by) for by in (member, other)
    ]
    ends = together(*jobs)
    assert [len(end) for end in ends] == [15, 15]
    assert len(set(Find.objects.values_list("number", flat=True))) == 30
