"""A club may ask a second factor of everybody. OWASP ASVS 5.0.0, 6.3.3."""

from typing import Any

import pytest
from django.urls import reverse

from people.models import AuditEntry, Club, User
from tests import make, make_factors
from tests.views.keys import sign_in_quickly

pytestmark = pytest.mark.django_db
SETTINGS = {
    "name": "Ravensand", "jurisdiction": "england", "units": "both", "currency": "GBP", "find_prefix": "F",
}  # fmt: skip


def ask_everybody(secretary: User, *, ask: bool = True) -> None:
    """As the secretary does it: on the page of the club's settings."""
    data = SETTINGS | ({"everybody_needs_two": "on"} if ask else {})
    answer = sign_in_quickly(secretary).post(reverse("people:club_settings"), data)
    assert answer.status_code == 302
    assert Club.objects.get().everybody_needs_two is ask


@pytest.mark.parametrize("is_server_strict", [True, False])
def test_from_then_on_a_member_reaches_the_pages_that_set_one_up_and_no_other(
    member: User, secretary: User, settings: Any, is_server_strict: bool
) -> None:
    """Also where the server's own setting is off: who ticks it means it."""
    make.club()
    make_factors.app(secretary)
    settings.SECOND_FACTOR_REQUIRED = is_server_strict
    client = sign_in_quickly(member)
    assert client.get(reverse("hunts:list")).status_code == 200
    ask_everybody(secretary)
    assert AuditEntry.objects.get(verb="club.change").changes["changed"].count("everybody_needs_two") == 1
    for page in ("today", "hunts:list", "finds:list", "people:me"):
        answer = client.get(reverse(page))
        assert (answer.status_code, answer["Location"]) == (302, reverse("mfa_index")), page
    assert client.get(reverse("field:me")).status_code == 401  # a phone asks its holder to sign in
    assert "This club asks everybody" in client.get(reverse("mfa_index"), follow=True).text
    make_factors.app(member)
    assert client.get(reverse("hunts:list")).status_code == 200


def test_it_can_be_taken_back(member: User, secretary: User) -> None:
    make.club()
    make_factors.app(secretary)
    ask_everybody(secretary)
    client = sign_in_quickly(member)
    assert client.get(reverse("hunts:list")).status_code == 302
    ask_everybody(secretary, ask=False)
    assert client.get(reverse("hunts:list")).status_code == 200


def test_pages_that_are_open_to_all_stay_so(member: User, secretary: User) -> None:
    make.club()
    make_factors.app(secretary)
    ask_everybody(secretary)
    assert sign_in_quickly(member).get(reverse("field:shell")).status_code == 200


def test_nobody_is_asked_unless_the_club_says_so(member: User) -> None:
    make.club()
    assert Club.objects.get().everybody_needs_two is False
    assert sign_in_quickly(member).get(reverse("hunts:list")).status_code == 200
