"""What stopped a secretary on their first evening: each page leads on to the thing it asks for."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from people.models import User
from permissions.models import Site
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.once]
Clients = Callable[[User | None], Client]


def page(client: Client, name: str, *args: object) -> str:
    return client.get(reverse(name, args=args)).text


def test_the_roll_call_of_a_hunt_not_begun_starts_it(leader: User, member: User, client_of: Clients) -> None:
    hunt = make.hunt(leader=leader)
    make.sign_up(hunt, member)
    client = client_of(leader)
    before = page(client, "hunts:roll_call", hunt.pk)
    assert "Start the hunt" in before
    assert "hunts/sign-in" not in before
    assert "Sign in<" not in before
    client.post(reverse("hunts:start", args=[hunt.pk]))
    after = page(client, "hunts:roll_call", hunt.pk)
    assert "Start the hunt" not in after
    assert "Sign in<" in after


def test_a_field_without_a_boundary_says_so_and_its_map_begins_at_the_gate(
    secretary: User, client_of: Clients
) -> None:
    site = make.site(gate_lon=0.1512, gate_lat=53.6007)
    Site.objects.filter(pk=site.pk).update(boundary={}, area_m2=0)
    client = client_of(secretary)
    assert "no boundary yet" in page(client, "permissions:site_list")
    assert "Draw the boundary" in page(client, "permissions:site_detail", site.pk)
    board = client.get(reverse("permissions:site_boundary", args=[site.pk])).context["draw"]
    assert [f["properties"]["kind"] for f in board["features"]["features"]] == ["gate"]


def test_who_keeps_the_lists_adds_their_own_insurance(
    secretary: User, member: User, client_of: Clients
) -> None:
    for person, address in ((secretary, reverse("people:insurance_add", args=[secretary.pk])), (member, "")):
        person.insurances.all().delete()
        text = page(client_of(person), "people:me")
        assert (address in text) if address else ("show your card to the secretary" in text)


@pytest.mark.parametrize(
    ("email", "lacks"), [("", "no address is recorded"), ("mo@x.example", "no private link yet")]
)
def test_a_report_that_is_not_sent_says_what_lacks(
    secretary: User, client_of: Clients, email: str, lacks: str
) -> None:
    owner = make.landholder(name="Mo Warp", email=email)
    hunt = make.hunt(make.site(owner=owner), state="closed")
    client = client_of(secretary)
    answer = client.post(reverse("reports:issue_all", args=["visit", hunt.pk]), follow=True)
    assert lacks in answer.text
