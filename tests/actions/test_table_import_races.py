"""Imports at once: nothing is made twice, and nobody waits in a circle."""

from typing import Any
from uuid import UUID

import pytest

from finds.models import Find
from hunts.models import Hunt
from people.models import TableImport, User
from tests import make
from tests.actions.test_hunt_races import together
from tests.actions.test_table_imports import save, sent

pytestmark = pytest.mark.django_db(transaction=True)
MEMBERS = b"Name,E-mail\nMo,mo@x.example\nNed,ned@x.example\n"


@pytest.fixture(autouse=True)
def _club(db: None) -> None:
    make.club()


def saving(kind: str, by: User, sent_now: tuple[UUID, Any]) -> Any:
    key, plan = sent_now
    return lambda: save(key, kind, plan, by)


def test_one_file_saved_three_times_at_once_is_one_import(secretary: User) -> None:
    job = saving("members", secretary, sent(MEMBERS, "members", secretary))
    ends = together(job, job, job)
    assert {end.pk for end in ends} == {TableImport.objects.get().pk}
    assert User.objects.filter(email__endswith="@x.example").count() == 2


def test_the_same_list_sent_twice_at_once_is_saved_once(secretary: User) -> None:
    ends = together(*(saving("members", secretary, sent(MEMBERS, "members", secretary)) for _ in range(2)))
    assert sorted(type(end).__name__ for end in ends) == ["ChangedError", "TableImport"]
    assert User.objects.filter(email__endswith="@x.example").count() == 2


def test_two_lists_of_finds_of_one_day_share_its_outing(secretary: User) -> None:
    make.site(code="SF91")
    text = "Ref,Date found,Field,Found by,Item\n%s,2014-03-15,SF91,,nail\n"
    jobs = [
        saving("finds", secretary, sent((text % ref).encode(), "finds", secretary))
        for ref in ("bag 1", "bag 2")
    ]
    ends = together(*jobs)
    assert "TableImport" in [type(end).__name__ for end in ends]
    assert Hunt.objects.count() == 1
    assert Find.objects.count() == sum(isinstance(end, TableImport) for end in ends)
