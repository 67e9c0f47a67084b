"""The pages of going out alone."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localtime, now

from hunts.models import LoneHunt
from people.models import User
from tests import make, make_kit

ClientOf = Callable[[User | None], Client]


def page(client: Client, name: str, *args: Any) -> str:
    response = client.get(reverse(f"hunts:{name}", args=args))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def send(client: Client, view: str, *args: Any, **data: Any) -> str:
    response = client.post(reverse(f"hunts:{view}", args=args), data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def filled_in(**changes: Any) -> dict[str, Any]:
    values = {
        "where": "Sand Lane lay-by",
        "out_at": localtime().strftime("%Y-%m-%dT%H:%M"),
        "due_back": localtime(now() + timedelta(hours=3)).strftime("%Y-%m-%dT%H:%M"),
        "contact_name": "Gil Wrack",
        "contact_phone": "01632 960500",
    }
    return values | changes


def test_out_and_back(client_of: ClientOf, member: User) -> None:
    client = client_of(member)
    assert "Say here that you are back" in send(client, "lone_add", **filled_in())
    shown = send(client, "lone_back", LoneHunt.objects.get().pk)
    assert "Good that you are back" in shown
    assert LoneHunt.objects.get().back_by == member


def test_what_was_typed_stays_when_the_time_is_wrong(client_of: ClientOf, member: User) -> None:
    early = localtime(now() - timedelta(hours=1)).strftime("%Y-%m-%dT%H:%M")
    shown = send(client_of(member), "lone_add", **filled_in(due_back=early))
    assert "is not after" in shown
    assert 'value="Sand Lane lay-by"' in shown


def test_tidal_ground_asks_for_the_tide(client_of: ClientOf, leader: User) -> None:
    site = make.site(tidal="yes")
    make.permission(site)
    assert "give the times of high and low water" in send(
        client_of(leader), "lone_add", **filled_in(site=site.pk)
    )


def test_a_leader_sees_who_is_out_and_nobody_elses_past(
    client_of: ClientOf, member: User, leader: User
) -> None:
    lone = make_kit.lone(member, due_back=now() - timedelta(minutes=5))
    assert "Overdue" in page(client_of(leader), "lone_list")
    assert "Ring Mo Samphire and Gil Wrack" in page(client_of(leader), "lone_detail", lone.pk)
    assert "Recorded as back" in send(client_of(leader), "lone_back", lone.pk)
    assert "Mo Samphire" not in page(client_of(leader), "lone_list")


def test_another_member_sees_nothing(client_of: ClientOf, member: User) -> None:
    lone = make_kit.lone(member)
    other = client_of(make.person())
    assert other.get(reverse("hunts:lone_detail", args=[lone.pk])).status_code == 404
    assert other.post(reverse("hunts:lone_back", args=[lone.pk])).status_code == 404


@pytest.mark.parametrize(("typed", "words"), [("", "required"), ("later", "valid date")])
def test_a_time_that_is_none_is_said(client_of: ClientOf, member: User, typed: str, words: str) -> None:
    lone = make_kit.lone(member)
    assert words in send(client_of(member), "lone_change", lone.pk, due_back=typed)


def test_the_list_costs_the_same_for_one_and_twenty(client_of: ClientOf, leader: User) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            page(client_of(leader), "lone_list")
        return len(caught)

    make_kit.lone(make.person())
    before = queries()
    for _ in range(20):
        make_kit.lone(make.person())
    assert queries() == before
