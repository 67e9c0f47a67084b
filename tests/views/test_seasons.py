"""Usual seasons: looked up with their source, adapted, and laid on several sites at once."""

from collections.abc import Callable
from datetime import date
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import AuditEntry, User
from permissions.gate import Answer
from permissions.gate_facts import answers_for
from permissions.models import ClosedPeriod
from tests import make


@pytest.fixture
def client(client_of: Callable[[User], Client], secretary: User) -> Client:
    make.club()
    return client_of(secretary)


PHEASANT = {
    "reason": "Pheasant shooting",
    "starts": "2026-10-01",
    "ends": "2027-02-01",
    "yearly": "on",
    "effect": "ask",
}


def test_the_list_says_the_days_and_where_they_come_from(client: Client) -> None:
    make.site()
    html = client.get(reverse("permissions:season_list")).content.decode()
    assert "1 October to 1 February" in html
    assert "Game Act 1831 s. 3" in html
    assert "common practice, lowland farms" in html
    assert html.index("Pheasant shooting") < html.index("Kept elsewhere") < html.index("Northern Ireland")


def test_a_season_is_adapted_and_laid_on_the_sites_chosen(client: Client) -> None:
    one, two, three = make.site(), make.site(holding="Warp Farm"), make.site()
    address = reverse("permissions:season_add", args=["pheasant"])
    html = client.get(address).content.decode()
    assert f'value="{localdate().year}-10-01"' in html
    assert "<legend>Sites" in html
    assert "Warp Farm" in html
    values = PHEASANT | {"ends": "2027-01-31", "sites": [one.pk, two.pk], "client_id": uuid4()}
    for _ in range(2):  # sent twice it is one each
        assert client.post(address, values).status_code == 302
    assert {p.site for p in ClosedPeriod.objects.all()} == {one, two}
    assert ClosedPeriod.objects.count() == AuditEntry.objects.filter(verb="closed_period.add").count() == 2
    make.permission(one, two, three, starts=None, ends=None)
    inside, after = date(2027, 1, 31), date(2027, 2, 1)
    codes = [
        {r.code for r in answers_for([one], day)[one.pk].reasons if r.effect is Answer.ASK}
        for day in (inside, after)
    ]
    assert ["closed_period" in found for found in codes] == [True, False]


def test_no_site_chosen_is_said_and_what_was_typed_stays(client: Client) -> None:
    make.site()
    response = client.post(
        reverse("permissions:season_add", args=["pheasant"]), PHEASANT | {"reason": "Partridge drive"}
    )
    html = response.content.decode()
    assert "Choose at least one site." in html
    assert "Partridge drive" in html


def test_a_season_nobody_knows_is_not_found(client: Client) -> None:
    assert client.get(reverse("permissions:season_add", args=["unicorn"])).status_code == 404
