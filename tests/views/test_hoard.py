"""A hoard of many records: its case page and its report ask the database as often as those of one find."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.actions import make_group, record_find
from finds.circumstances import answers_from
from finds.models import Case, Find, FindspotView
from people.models import User
from tests import make

pytestmark = pytest.mark.django_db


def hoard(hunt, finder: User, committee: User, size: int) -> Case:
    """A case of `size` silver pennies, grouped as one find."""
    site, moment = hunt.sites.all()[0], now()
    finds: list[Find] = [
        record_find(
            hunt.pk,
            by=finder,
            at=moment,
            client_id=uuid4(),
            materials={"silver": Decimal(92)},
            finder=finder,
            site=site,
            found_at=moment,
            object_type="penny",
            is_coin="yes",
            year_from=1205,
            year_to=1247,
            lon=0.1512,
            lat=53.6007,
            accuracy_m=4.0,
            facts=answers_from(["none"]),
        )
        for _ in range(size)
    ]
    numbers = [find.number for find in finds]
    make_group(numbers, by=committee, at=now(), reasons="in one pot", client_id=uuid4())
    return finds[0].cases.get()


@pytest.mark.parametrize("name", ["finds:case_detail", "reports:heritage"])
def test_a_hoard_costs_no_more_queries_than_a_pair(
    name: str, member: User, leader: User, committee: User
) -> None:
    make.club()
    hunt = make.hunt(leader=leader, state="running", starts_at="00:00", ends_at="23:59")
    make.attendance(hunt, member)
    client = Client()
    client.force_login(committee)
    costs = []
    for size in (2, 12):
        case = hoard(hunt, member, committee, size)
        looks = FindspotView.objects.filter(find__in=case.finds.all()).count()
        with CaptureQueriesContext(connection) as queries:
            assert client.get(reverse(name, args=[case.pk])).status_code == 200
        assert FindspotView.objects.filter(find__in=case.finds.all()).count() == looks + size
        costs.append(len(queries))
    assert costs[0] == costs[1]
