"""Bring a guest, see them on the roll call."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from hunts.models import Guest, Hunt
from people.models import User
from tests import make

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    site = make.site()
    permission = make.permission(site, guests_allowed=True, juniors_allowed=True)
    made = make.hunt(site, leader=leader, permission_=permission)
    make.sign_up(made, leader)
    make.sign_up(made, member)
    return made


def page(client: Client, name: str, *args: Any) -> str:
    return " ".join(client.get(reverse(f"hunts:{name}", args=args)).content.decode().split())


def bring(client: Client, hunt: Hunt, user: User, until: date, **data: Any) -> str:
    values = {
        "name": "Jo Wrack",
        "insurer": "Humber Mutual",
        "insured_until": until.isoformat(),
        "emergency_contact": "Home, 01632 960500",
        "host": hunt.sign_ups.get(user=user).pk,
    }
    response = client.post(reverse("hunts:guest_add", args=[hunt.pk]), values | data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_a_junior_is_brought_with_their_adult(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    client, own = client_of(member), hunt.sign_ups.get(user=member).pk
    shown = bring(client, hunt, member, make.days(9), is_junior="on", age="11", responsible=own)
    assert "Jo Wrack, 11, with Mo Samphire" in shown
    assert "3 of 10 taken" in shown


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"is_junior": "on", "age": ""}, "Give the junior&#x27;s age"),
        ({"is_junior": "on", "age": "18"}, "18 is not under 18"),
        ({"is_junior": "on", "age": "9"}, "Choose the adult"),
        ({"age": "17"}, "17 is under 18: tick that they are"),
    ],
)
def test_a_junior_form_says_what_is_missing_and_keeps_the_rest(
    client_of: ClientOf, hunt: Hunt, member: User, data: dict[str, str], words: str
) -> None:
    shown = bring(client_of(member), hunt, member, make.days(9), **data)
    assert words in shown
    assert 'value="Jo Wrack"' in shown
    assert not Guest.objects.exists()


def test_a_card_that_ends_before_the_hunt_is_named(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    assert "a card must cover that day" in bring(client_of(member), hunt, member, make.days(-1))


def test_where_the_terms_allow_none_there_is_no_button(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    type(hunt.permission).objects.update(guests_allowed=False, juniors_allowed=False)
    assert "Bring a guest" not in page(client_of(member), "detail", hunt.pk)


def test_the_roll_call_signs_guests_in_and_counts_them(
    client_of: ClientOf, hunt: Hunt, member: User, leader: User
) -> None:
    bring(client_of(member), hunt, member, make.days(9))
    Hunt.objects.update(state="running")
    client, guest = client_of(leader), Guest.objects.get()
    assert "Guest of Mo Samphire" in page(client, "roll_call", hunt.pk)
    client.post(reverse("hunts:guest_in", args=[guest.pk]))
    shown = page(client, "roll_call", hunt.pk)
    assert "<dt>signed in</dt><dd>1</dd>" in shown
    assert "Home, 01632 960500" in shown
    client.post(reverse("hunts:guest_out", args=[guest.pk]))
    assert "<dt>back</dt><dd>1</dd>" in page(client, "roll_call", hunt.pk)


def test_others_members_do_not_see_who_brings_whom(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    bring(client_of(member), hunt, member, make.days(9))
    other = make.person()
    make.sign_up(hunt, other)
    assert "Jo Wrack" not in page(client_of(other), "detail", hunt.pk)
    assert (
        client_of(other).post(reverse("hunts:guest_drop", args=[Guest.objects.get().pk])).status_code == 404
    )
