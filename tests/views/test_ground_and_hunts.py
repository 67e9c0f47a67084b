"""What happens to the ground shows on the hunts planned there: a pause, a protected place, a split."""

from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from geo.cut import split
from people.models import User
from permissions import actions
from permissions.models import ProtectedPlace, Site
from tests import make
from tests.actions.test_cut import MIDDLE


@pytest.fixture
def site(secretary: User) -> Site:
    make.club()
    return make.site(code="SF04", name="Saltmere Forty", by=secretary)


@pytest.fixture
def hunt_page(client_of: Callable[[User], Client], leader: User, site: Site) -> Callable[[], str]:
    permission = make.permission(site)
    hunt = make.hunt(site, leader=leader, permission_=permission, on=localdate() + timedelta(9), state="open")

    def hunt_page() -> str:
        return client_of(leader).get(reverse("hunts:detail", args=[hunt.pk])).content.decode()

    return hunt_page


def test_a_pause_shows_on_the_planned_hunt_at_once(
    hunt_page: Callable[[], str], secretary: User, site: Site
) -> None:
    assert "is paused" not in hunt_page()
    actions.pause_permission(site.permissions.get(), by=secretary, via="", at=now(), why="lambing early")
    assert "paused" in hunt_page()


def test_a_withdrawn_consent_shows_on_the_planned_hunt_at_once(
    hunt_page: Callable[[], str], secretary: User, site: Site
) -> None:
    consent = site.permissions.get().consents.get()
    actions.withdraw_consent(consent.pk, by=secretary, at=now(), on=localdate())
    assert "withdr" in hunt_page()


def test_a_protected_place_shows_on_the_planned_hunt(
    hunt_page: Callable[[], str], secretary: User, site: Site
) -> None:
    layer = make.layer(by=secretary)
    box = {"min_lat": 53.6, "min_lon": 0.15, "max_lat": 53.6018, "max_lon": 0.153}
    ProtectedPlace.objects.create(layer=layer, name="Howe Mound", geometry=make.SQUARE, **box)
    actions.change_layer(layer.pk, by=secretary, at=now(), buffer_m=30.0)
    assert "touches Howe Mound" in hunt_page()


def test_a_split_site_shuts_the_hunt_planned_on_it_and_names_the_parts(
    hunt_page: Callable[[], str], secretary: User, site: Site
) -> None:
    parts = [
        actions.Part(b, uuid4(), f"SF04{x}", f"Forty {x}")
        for b, x in zip(split(site.boundary, MIDDLE).parts, "AB", strict=True)
    ]
    actions.split_site(site.pk, by=secretary, at=now(), on=localdate(), parts=parts)
    assert "its ground is now SF04A Forty A and SF04B Forty B" in hunt_page()
