"""Every address answers every kind of reader as the table says, and no address is without a row.

The world has a locked find, and each answer is read for its place, as are the mails, the log and the trail
(locked_place.py; more in test_locked_findspot.py).
"""

import importlib
import pkgutil
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from django.db import connection, transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

import tests.views as package
from people.models import User
from permissions.links import key_of
from reports.sign_links import sign_key_of
from tests import EVERYTHING
from tests.views.access import LOGIN, READERS, Row
from tests.views.locked_place import Stand, Visit, arranged, assert_the_place_is_kept
from tests.views.world import World, standing


def _rows() -> list[Row]:
    names = [m.name for m in pkgutil.iter_modules(package.__path__) if m.name.startswith("access_")]
    return [row for name in names for row in importlib.import_module(f"tests.views.{name}").ROWS]


ROWS = _rows()
REFUSED = {LOGIN, 401, 403}


def _names(patterns: list[URLPattern | URLResolver], space: str = "") -> Iterator[str]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from _names(pattern.url_patterns, inner)
        else:
            yield f"{space}{pattern.name}"


def test_every_address_has_a_row() -> None:
    assert set(_names(get_resolver().url_patterns)) - {row.name for row in ROWS} == set()


Standing = tuple[World, dict[str, Client]]


@pytest.fixture(scope="module")
def standing_all(django_db_setup: None, django_db_blocker: Any) -> Iterator[Standing]:
    """One world for all addresses, with a signed-in client for each reader."""
    with standing(django_db_blocker, _arranged) as made:
        yield made


def _arranged() -> Standing:
    world = arranged()
    return world, {reader: _client(world, reader) for reader in READERS}


@pytest.fixture(autouse=True)
def _signed_in_just_now(settings: Any) -> None:
    """The readers signed in when the module began, which on a busy machine may be longer ago than ten minutes."""
    settings.ACCOUNT_REAUTHENTICATION_TIMEOUT = 24 * 3600


@pytest.fixture
def world(standing_all: Standing, db: None) -> World:
    """A copy: what a test does to the objects stays with it, as what it writes does."""
    return deepcopy(standing_all[0])


def _client(world: World, reader: str) -> Client:
    client = Client()
    user: User | None = world.reader(reader)
    if user is not None:
        client.force_login(user)
    if reader in {"link", "expired"}:
        client.get(reverse("reports:landholder", args=[_key(world, reader)]))
        client.get(reverse("reports:sign", args=[_sign_key(world, reader)]))
    return client


def _key(world: World, reader: str) -> str:
    return key_of(world.expired_link if reader == "expired" else world.link)


def _sign_key(world: World, reader: str) -> str:
    return sign_key_of(world.expired_request if reader == "expired" else world.sign_request)


def _answer(row: Row, kwargs: dict[str, Any], reader: str, world: World, cookies: Any) -> int | str:
    """What `reader` gets; whatever the request wrote is rolled back."""
    if "key" in kwargs:
        signs = row.name.startswith("reports:sign")
        kwargs = kwargs | {"key": (_sign_key if signs else _key)(world, reader)}
    client = Client()
    client.cookies = deepcopy(cookies)
    with transaction.atomic():
        response = getattr(client, row.method)(reverse(row.name, kwargs=kwargs), row.data(world))
        if response.streaming:
            b"".join(response.streaming_content)  # read to the end, so that the file is closed
        transaction.set_rollback(True)
    if response.status_code == 302 and response["Location"].startswith(reverse("people:sign_in")):
        return LOGIN
    return response.status_code


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.method}-{row.name}")
def test_access(
    row: Row, world: World, standing_all: Standing, django_capture_on_commit_callbacks: Any, caplog: Any
) -> None:
    asked, before = row.kwargs(world), Stand.now()
    visits = [
        Visit(
            world,
            row,
            asked,
            django_capture_on_commit_callbacks,
            reader,
            standing_all[1][reader].cookies,
            before,
        )
        for reader in _asked(row)
    ]
    assert {visit.reader: visit.answer for visit in visits} == {
        visit.reader: row.answer_for(visit.reader) for visit in visits
    }
    assert_the_place_is_kept(visits, caplog)


def _asked(row: Row) -> list[str]:
    """All readers; in a usual run on PostgreSQL one of each answer that its rows decide: who lacks a right, a key or
    an account is refused by the same lines of code on both, and has asked the database no more than who they are."""
    if EVERYTHING or connection.vendor == "sqlite":
        return list(READERS)
    by_answer = {row.answer_for(reader): reader for reader in READERS}
    return [by for answer, by in by_answer.items() if answer not in REFUSED] or list(by_answer.values())
