"""What the attacks share: one world with a browser for each attacker, and a record of what the database was told.

An attack is a plain function that asserts that it was turned away. tests/attacks/test_guards_off.py takes the guards
off one by one and runs the same functions, which then have to fail.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from finds.actions import CaseError
from people.models import User
from people.rights import Role
from permissions.links import key_of
from reports.sign_links import sign_key_of
from tests import make
from tests.views.access import Row
from tests.views.test_access import ROWS
from tests.views.world import World, build
from web.states import IllegalMoveError

ATTACKERS = ("anonymous", "lapsed", "other_member", "other_leader")
APPS = ("people", "hunts", "finds", "field", "reports", "doors", "permissions")
"""In the order in which their records are made: a no-go area of the last leaves the hunts no ground."""
WRITES = re.compile(r"\s*(INSERT|UPDATE|DELETE)\b", re.IGNORECASE)
# A look at a locked place is written down by reading it; sessions and their keys are no records.
NO_RECORD = re.compile(r'"(django_session|finds_findspotview)"')


@dataclass(frozen=True)
class Asked:
    """One address of the access matrix with what it is about, made once for all attacks."""

    row: Row
    url: str
    kwargs: dict[str, Any]
    data: dict[str, Any]


@dataclass
class Ground:
    """The world as the test finds it, who is signed in where, and every address with something behind it."""

    world: World
    people: dict[str, User | None]
    cookies: dict[str, Any]
    asked: list[Asked]

    def of(self, app: str, *methods: str) -> list[Asked]:
        return [
            each
            for each in self.asked
            if app_of(each.row) == app and (not methods or each.row.method in methods)
        ]

    def client(self, name: str, **options: Any) -> Client:
        """The browser of one person; what happens to its cookies stays in the test."""
        client = Client(**options)
        client.cookies = deepcopy(self.cookies[name])
        return client


def make_ground(*, whole: bool = True) -> Ground:
    """`whole`: with every address of the matrix and what stands behind it."""
    world = build()
    people: dict[str, User | None] = {
        "anonymous": None,
        "lapsed": world.stranger,
        "other_member": make.person(name="Ned Spit"),
        "other_leader": make.person(Role.LEADER, name="Lyn Ness"),
        "member": world.member,
        "leader": world.leader,
        "secretary": world.secretary,
        "committee": world.committee,
    }
    cookies = {}
    for name, user in people.items():
        client = Client()
        if user is not None:
            client.force_login(user)
        cookies[name] = client.cookies
    return Ground(
        world, people, cookies, [_asked(row, world) for app in APPS for row in rows_of(app) if whole]
    )


def _asked(row: Row, world: World) -> Asked:
    """The data of a few rows want a state that another row has left behind: those are asked without."""
    kwargs = arguments(row, world)
    try:
        with transaction.atomic():
            data = row.data(world)
    except (IllegalMoveError, CaseError):
        data = {}
    return Asked(row, reverse(row.name, kwargs=kwargs), kwargs, data)


@contextmanager
def undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@contextmanager
def writes() -> Iterator[list[str]]:
    """Every statement in the block that changes a record."""
    told: list[str] = []
    with CaptureQueriesContext(connection) as asked:
        yield told
    told += [q["sql"] for q in asked if WRITES.match(q["sql"]) and not NO_RECORD.search(q["sql"])]


def app_of(row: Row) -> str:
    """Today goes with the reports; what a library names without a prefix is about accounts."""
    plain = "reports" if row.name == "today" else "people"
    return row.name.partition(":")[0] if ":" in row.name else plain


def rows_of(app: str, *methods: str) -> list[Row]:
    """One row of the access matrix for each address and method of an app."""
    found: dict[tuple[str, str], Row] = {}
    for row in ROWS:
        if app_of(row) == app and (not methods or row.method in methods):
            found.setdefault((row.name, row.method), row)
    return list(found.values())


def arguments(row: Row, world: World) -> dict[str, Any]:
    """The arguments of an address; where it wants a key, the world's own live one."""
    kwargs = row.kwargs(world)
    if kwargs.get("key") == "":
        signs = row.name.startswith("reports:sign")
        kwargs["key"] = sign_key_of(world.sign_request) if signs else key_of(world.link)
    return kwargs


def address(row: Row, world: World) -> str:
    return reverse(row.name, kwargs=arguments(row, world))


def is_open(row: Row) -> bool:
    """An address that anybody may ask: sign-in, private addresses, the field page's shell."""
    return row.answer_for("anonymous") not in {"log in", 401}


def body_of(response: Any) -> bytes:
    return b"".join(response.streaming_content) if response.streaming else response.content
