"""Every address answers every kind of reader as the table says, and no address is without a row."""

import importlib
import pkgutil
from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils.timezone import now

import tests.views as package
from people.models import User
from permissions.links import key_of
from tests.views.access import LOGIN, READERS, Row
from tests.views.world import World, build


def _rows() -> list[Row]:
    names = [m.name for m in pkgutil.iter_modules(package.__path__) if m.name.startswith("access_")]
    return [row for name in names for row in importlib.import_module(f"tests.views.{name}").ROWS]


ROWS = _rows()


def _names(patterns: list[URLPattern | URLResolver], space: str = "") -> Iterator[str]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from _names(pattern.url_patterns, inner)
        else:
            yield f"{space}{pattern.name}"


def test_every_address_has_a_row() -> None:
    assert set(_names(get_resolver().url_patterns)) - {row.name for row in ROWS} == set()


@pytest.fixture
def world(db: None) -> World:
    return build()


def _client(world: World, reader: str) -> Client:
    client = Client()
    user: User | None = world.reader(reader)
    if user is not None:
        client.force_login(user)
    if reader in {"link", "expired"}:
        client.get(reverse("reports:landholder", args=[_key(world, reader)]))
    return client


def _key(world: World, reader: str) -> str:
    return key_of(world.expired_link if reader == "expired" else world.link)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.method}-{row.name}")
def test_access(row: Row, reader: str, world: World) -> None:
    kwargs = row.kwargs(world)
    if "key" in kwargs:
        kwargs["key"] = _key(world, reader)
    response = getattr(_client(world, reader), row.method)(reverse(row.name, kwargs=kwargs), row.data(world))
    answer: int | str = response.status_code
    if answer == 302 and response["Location"].startswith(reverse("people:sign_in")):
        answer = LOGIN
    assert answer == row.answer_for(reader), f"{reader} at {now():%H:%M}"
