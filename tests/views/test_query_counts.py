"""Every list page asks the database as often for many rows as for one."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection, models
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from finds.models import Case, FindMaterial, FindNumber
from hunts.models import Hunt, HuntSite
from people.models import AuditEntry
from permissions.models import Permission
from tests import EVERYTHING, make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db

MORE = 499 if EVERYTHING else 59  # more than one page of a list


def copies(row: models.Model, **different: Callable[[int], Any]) -> list[Any]:
    """MORE rows like `row`, saved; `different` gives the columns that have to differ, by number."""
    values = {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields if not f.primary_key}
    if "client_id" in values:
        different = {"client_id": lambda n: uuid4()} | different
    made = [
        type(row)(**(values | {name: value(n) for name, value in different.items()})) for n in range(MORE)
    ]
    return type(row)._base_manager.bulk_create(made)


def for_each(rows: list[Any], model: type[models.Model], **values: Callable[[Any], Any]) -> None:
    model._base_manager.bulk_create(
        model(**{name: value(row) for name, value in values.items()}) for row in rows
    )


def arranged() -> World:
    """The small world, with at least one row in every list."""
    world = build()
    world.hunt.incidents.create(
        kind="gate", words="off its hinge", happened_at=world.hole.dug_at, recorded_by=world.member
    )
    make.hole_photo(world.hole)
    past = make.hunt(world.site, leader=world.leader, permission_=world.permission, state="closed")
    make.sign_up(past, world.secretary)
    ended = Case.objects.create(number="CF1999-1", state="closed", opened_at=world.hole.dug_at)
    ended.finds.add(world.locked)
    FindNumber.objects.create(
        year=1998, serial=1, given_at=world.hole.dug_at, void_why="typed twice", void_by=world.member
    )
    return world


standing_world, world = shared_world(arranged)


def more_hunts(world: World) -> None:
    hunts = copies(world.hunt, code=lambda n: f"HX{n}")
    for_each(
        hunts,
        HuntSite,
        hunt=lambda hunt: hunt,
        site=lambda hunt: world.site,
        boundary=lambda hunt: world.site.boundaries.all()[0],
    )
    copies(world.sign_up, hunt_id=lambda n: hunts[n].pk)


def more_past_hunts(world: World) -> None:
    world.hunt = Hunt.objects.get(state="closed")
    more_hunts(world)


def more_sites(world: World) -> None:
    sites = copies(world.site, code=lambda n: f"SX{n}")
    copies(world.site.boundaries.all()[0], site_id=lambda n: sites[n].pk)
    copies(world.site.parties.all()[0], site_id=lambda n: sites[n].pk)
    copies(world.site.field_states.all()[0], site_id=lambda n: sites[n].pk)
    copies(world.site.protected_checks.all()[0], site_id=lambda n: sites[n].pk)
    world.permission.sites.add(*sites)


def more_finds(world: World) -> None:
    numbers = copies(world.find.number_row, serial=lambda n: 10_000 + n)
    finds = copies(world.find, number=lambda n: f"FX{n}", number_row_id=lambda n: numbers[n].pk)
    copies(world.photo, find_id=lambda n: finds[n].pk, original_sha256=lambda n: f"{n:064}")
    for_each(finds, FindMaterial, find=lambda find: find, material=lambda find: "iron")


def more_gaps(world: World) -> None:
    FindNumber.objects.bulk_create(
        FindNumber(
            year=1999, serial=n + 1, given_at=world.hole.dug_at, void_why="typed twice", void_by=world.member
        )
        for n in range(MORE)
    )


def more_cases(world: World) -> None:
    cases = copies(world.case, number=lambda n: f"CX{n}")
    for_each(cases, Case.finds.through, case=lambda case: case, find=lambda case: world.locked)


def more_ended_cases(world: World) -> None:
    world.case = Case.objects.get(state="closed")
    more_cases(world)


def more_people(world: World) -> None:
    people = copies(world.leader, email=lambda n: f"x{n}@ravensand.example")
    copies(world.leader.memberships.all()[0], user_id=lambda n: people[n].pk)
    copies(world.leader.insurances.all()[0], user_id=lambda n: people[n].pk)
    copies(world.leader.roles_held.all()[0], user_id=lambda n: people[n].pk)


def more_landholders(world: World) -> None:
    people = copies(world.landholder)
    copies(world.site.parties.all()[0], landholder_id=lambda n: people[n].pk)


def more_permissions(world: World) -> None:
    rows = copies(world.permission, reference=lambda n: f"PX{n}")
    copies(world.consent, permission_id=lambda n: rows[n].pk)
    for_each(rows, Permission.sites.through, permission=lambda row: row, site=lambda row: world.site)


def more_holes(world: World) -> None:
    holes = copies(world.hole, number=lambda n: 1000 + n)
    copies(world.hole.photos.all()[0], hole_id=lambda n: holes[n].pk)


def more_incidents(world: World) -> None:
    copies(world.hunt.incidents.all()[0])


def more_issued(world: World) -> None:
    copies(world.returns, number=lambda n: f"RX{n}", issue=lambda n: 100 + n)


def more_answers(world: World) -> None:
    copies(world.answer)


def more_lines(world: World) -> None:
    copies(AuditEntry.objects.all()[0])


PAGES: list[tuple[str, str, str, Callable[[World], None]]] = [
    ("hunts:list", "", "secretary", more_hunts),
    ("hunts:list", "", "member", more_hunts),
    ("hunts:list", "?when=past", "secretary", more_past_hunts),
    ("permissions:site_list", "", "secretary", more_sites),
    ("permissions:site_list", "", "member", more_sites),
    ("permissions:gate", "", "secretary", more_sites),
    ("permissions:landholder_list", "", "secretary", more_landholders),
    ("permissions:permission_list", "", "secretary", more_permissions),
    ("hunts:incident_list", "", "secretary", more_incidents),
    ("finds:list", "", "secretary", more_finds),
    ("finds:list", "", "member", more_finds),
    ("finds:list", "?whose=mine", "member", more_finds),
    ("finds:numbers", "", "secretary", more_gaps),
    ("finds:case_list", "", "committee", more_cases),
    ("finds:case_list", "", "committee", more_ended_cases),
    ("people:person_list", "", "secretary", more_people),
    ("people:audit_list", "", "secretary", more_lines),
    ("reports:issued_list", "", "secretary", more_issued),
    ("reports:answers", "", "secretary", more_answers),
]
OF_THE_HUNT: list[tuple[str, str, Callable[[World], None]]] = [
    ("hunts:hole_list", "leader", more_holes),
    ("hunts:hole_list", "member", more_holes),
    ("hunts:detail", "leader", more_holes),
    ("hunts:roll_call", "leader", more_people),
    ("finds:labels", "leader", more_finds),
    ("reports:visit", "leader", more_finds),
    ("reports:holes", "leader", more_holes),
    ("reports:returns", "leader", more_finds),
]


def queries(client: Client, address: str) -> list[str]:
    """What a page asks the database, the first-time look-ups of the process left aside."""
    client.get(address)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        response = client.get(address)
    assert response.status_code == 200
    return [query["sql"] for query in asked]


def check(world: World, reader: str, address: str, more: Callable[[World], None]) -> None:
    client = Client()
    client.force_login(world.reader(reader))
    one = queries(client, address)
    more(world)
    many = queries(client, address)
    assert len(many) == len(one), "\n".join(sql[:200] for sql in many if sql not in one)


@pytest.mark.parametrize(("name", "query", "reader", "more"), PAGES)
def test_a_list_asks_as_often_for_many_rows_as_for_one(
    world: World, name: str, query: str, reader: str, more: Callable[[World], None]
) -> None:
    check(world, reader, reverse(name) + query, more)


@pytest.mark.parametrize(("name", "reader", "more"), OF_THE_HUNT)
def test_a_page_of_one_hunt_asks_as_often_for_many_rows_as_for_one(
    world: World, name: str, reader: str, more: Callable[[World], None]
) -> None:
    check(world, reader, reverse(name, args=[world.hunt.pk]), more)
