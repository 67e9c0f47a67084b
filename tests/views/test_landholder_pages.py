"""Landholders on the page: details for those who keep them, links with their codes, agents."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from people.models import User
from permissions.links import key_of
from permissions.models import Landholder, LandholderLink, SiteParty
from tests import make


@pytest.fixture
def client(client_of: Callable[[User], Client], secretary: User) -> Client:
    make.club()
    return client_of(secretary)


@pytest.fixture
def ada(db: None) -> Landholder:
    return make.landholder(name="Ada Warp", email="ada@saltmere.example")


def detail(client: Client, landholder: Landholder) -> str:
    return client.get(reverse("permissions:landholder_detail", args=[landholder.pk])).content.decode()


def test_a_link_is_shown_as_an_address_and_a_code_until_it_is_withdrawn(
    client: Client, ada: Landholder
) -> None:
    client.post(reverse("permissions:link_make", args=[ada.pk]), {"client_id": uuid4(), "days": 30})
    link = LandholderLink.objects.get()
    html = detail(client, ada)
    assert reverse("reports:landholder", args=[key_of(link)]) in html
    assert "<svg" in html
    client.post(reverse("permissions:link_revoke", args=[link.pk]))
    html = detail(client, ada)
    assert key_of(link) not in html
    assert "Withdrawn" in html


def test_a_link_for_ten_years_is_refused_in_words(client: Client, ada: Landholder) -> None:
    address = reverse("permissions:link_make", args=[ada.pk])
    html = client.post(address, {"days": 3650}, follow=True).content.decode()
    assert "less than or equal to 730" in html
    assert not LandholderLink.objects.exists()


def test_an_expired_link_shows_no_address(client: Client, ada: Landholder, secretary: User) -> None:
    link = LandholderLink.objects.create(
        landholder=ada, made_at=now() - timedelta(9), made_by=secretary, expires_at=now() - timedelta(1)
    )
    html = detail(client, ada)
    assert "Worked until" in html
    assert key_of(link) not in html


def test_the_code_reads_back_as_the_address() -> None:
    """ISO/IEC 18004: the drawn modules are those that the encoder gives for exactly this text."""
    import segno

    from permissions.landholder_page import code_of

    drawn = str(code_of("https://club.example/l/abc/"))
    expected = segno.make("https://club.example/l/abc/", error="m", micro=False)
    assert f"{3 * (expected.symbol_size()[0])}" in drawn
    assert "style=" not in drawn


def party(client: Client, site: Any, **fields: Any) -> Any:
    return client.post(reverse("permissions:party_add", args=[site.pk]), fields)


def test_an_agent_needs_somebody_to_act_for(client: Client, ada: Landholder, secretary: User) -> None:
    site, gil = make.site(by=secretary, owner=ada), make.landholder(name="Gil Staithe")
    html = party(client, site, landholder=gil.pk, capacity="agent").content.decode()
    assert "Choose whom the agent acts for" in html
    html = party(client, site, landholder=gil.pk, capacity="occupier", acts_for=ada.pk).content.decode()
    assert "Only an agent acts for somebody" in html
    party(client, site, landholder=gil.pk, capacity="agent", acts_for=ada.pk, authority="letter of May")
    assert SiteParty.objects.get(landholder=gil).acts_for == ada


def test_a_say_is_ended_from_the_sites_page(client: Client, ada: Landholder, secretary: User) -> None:
    site = make.site(by=secretary, owner=ada)
    row = site.parties.get()
    client.post(reverse("permissions:party_end", args=[row.pk]), {"on": localdate()})
    row.refresh_from_db()
    assert row.until == localdate()


def test_a_landholder_sent_twice_is_one(client: Client) -> None:
    values = {"client_id": uuid4(), "name": "Ada Warp", "held_why": "permission"}
    for _ in range(2):
        client.post(reverse("permissions:landholder_add"), values)
    assert Landholder.objects.count() == 1


def test_an_address_that_is_no_email_is_named_and_the_rest_kept(client: Client) -> None:
    values = {"client_id": uuid4(), "name": "Ada Warp", "email": "ada at saltmere"}
    html = client.post(reverse("permissions:landholder_add"), values).content.decode()
    assert "Enter a valid email address" in html
    assert 'value="Ada Warp"' in html
    assert 'value="ada at saltmere"' in html


def test_everything_held_is_handed_over_as_a_file(client: Client, ada: Landholder, secretary: User) -> None:
    permission = make.permission(make.site(by=secretary, owner=ada))
    response = client.get(reverse("permissions:landholder_export", args=[ada.pk]))
    held = response.json()
    assert response["Content-Disposition"].startswith("attachment")
    assert held["landholder"]["email"] == "ada@saltmere.example"
    assert held["consents"][0]["permission"] == str(permission)


def test_erasing_asks_whether_one_is_sure_and_names_what_stands_in_the_way(
    client: Client, ada: Landholder, secretary: User
) -> None:
    permission = make.permission(make.site(by=secretary, owner=ada))
    address = reverse("permissions:landholder_erase", args=[ada.pk])
    assert "Tick that you are sure" in client.post(address, follow=True).content.decode()
    assert permission.reference in client.post(address, {"sure": "yes"}, follow=True).content.decode()
    ada.refresh_from_db()
    assert ada.name == "Ada Warp"
