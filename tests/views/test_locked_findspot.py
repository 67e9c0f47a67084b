"""A locked find's place: as each kind of reader, every page, file, mail and line of the log is read for it.

A usual run reads what the access matrix gets (test_access.py), whose world has such a find, and here what a landholder
is given who has typed the one-time code. That no answer to a member who was not there depends on the place is
test_locked_place_changes_nothing.py. STUBBLE_EVERYTHING=1 reads every address as each of ten readers here.
"""

import logging
from collections.abc import Iterator
from copy import deepcopy
from datetime import timedelta
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from finds.models import FindspotView
from geo.letters import british_letters, reference
from geo.transform import to_national_grid
from geo.utm import mgrs_reference, to_utm
from people.mail_choices import address_hash
from people.models import User
from people.rights import Role
from permissions.links import key_of
from permissions.models import LandholderLink, LinkCode
from reports.link_codes import remember
from reports.sign_links import sign_key_of
from tests import EVERYTHING, make
from tests.views.access import LOGIN, Row
from tests.views.locked_place import (
    FIND_AT,
    FIND_TRACES,
    MAY_NOT,
    MAY_SEE,
    Stand,
    Visit,
    arranged,
    assert_the_place_is_kept,
    everything_in,
    links,
)
from tests.views.test_access import ROWS
from tests.views.world import World, standing

# What a page prints of a row is the same on both databases; whose rows they are is looked at on both.
pytestmark = [pytest.mark.django_db, pytest.mark.once]

SHARES = 8  # of the addresses, so that both cores have some


Standing = tuple[World, dict[str, Any]]


@pytest.fixture(scope="module")
def standing_all(django_db_setup: None, django_db_blocker: Any) -> Iterator[Standing]:
    """One world for all addresses, with what each reader's browser keeps."""
    with standing(django_db_blocker, with_cookies) as made:
        yield made


def with_cookies() -> Standing:
    world = arranged()
    return world, {reader: cookies_of(world, reader) for reader in readers()}


@pytest.fixture
def world(standing_all: Standing, db: None) -> World:
    """A copy: what a test does to the objects stays with it, as what it writes does."""
    return deepcopy(standing_all[0])


def readers() -> tuple[str, ...]:
    return (*MAY_NOT, *MAY_SEE) if EVERYTHING else ("link",)


def account(world: World, reader: str) -> User | None:
    """The account of a reader; a member and a leader who have nothing to do with the hunt are made here."""
    if reader == "other_member":
        return make.person(name="Ned Spit")
    if reader == "other_leader":
        return make.person(Role.LEADER, name="Lyn Ness")
    return world.reader(reader)


def type_code(client: Client, link: LandholderLink) -> None:
    """This browser has typed the one-time code, so that money and papers to sign open as well."""
    address = address_hash(link.landholder.email)
    until = now() + timedelta(hours=1)
    code = LinkCode.objects.create(
        link=link, digest="0" * 64, address_sha256=address, made_at=now(), expires_at=until, used_at=now()
    )
    remembered = HttpResponse()
    remember(remembered, link, code)
    client.cookies.update(remembered.cookies)


def cookies_of(world: World, reader: str) -> Any:
    """What the reader's browser keeps: signed in, or having opened the landholder's addresses and typed the code."""
    client = Client()
    if (user := account(world, reader)) is not None:
        client.force_login(user)
    if reader in {"link", "expired"}:
        request, link = links(world, reader)
        client.get(reverse("reports:landholder", args=[key_of(link)]))
        client.get(reverse("reports:sign", args=[sign_key_of(request)]))
        type_code(client, link)
    return client.cookies


def visits_to(row: Row, all_: Standing, callbacks: Any) -> list[Visit]:
    """As each reader, after what the address needs has been made once."""
    world = deepcopy(all_[0])
    with transaction.atomic():
        asked, before = row.kwargs(world), Stand.now()
        visits = [
            Visit(world, row, asked, callbacks, reader, cookies, before)
            for reader, cookies in all_[1].items()
        ]
        transaction.set_rollback(True)
    return visits


def rows() -> list[Row]:
    """What is there for the readers above: all of it, or all that opens by a key."""
    return ROWS if EVERYTHING else [row for row in ROWS if row.answer_for("link") != LOGIN]


@pytest.mark.parametrize("share", range(SHARES if EVERYTHING else 1))
def test_nobody_else_meets_the_place_anywhere_and_each_full_view_is_on_record(
    share: int, standing_all: Standing, db: None, django_capture_on_commit_callbacks: Any, caplog: Any
) -> None:
    with caplog.at_level(logging.DEBUG):
        visits = [
            visit
            for row in rows()[share :: SHARES if EVERYTHING else 1]
            for visit in visits_to(row, standing_all, django_capture_on_commit_callbacks)
        ]
    assert visits
    assert_the_place_is_kept(visits, caplog)


@pytest.mark.parametrize("reader", MAY_SEE)
def test_those_who_may_do_see_it(reader: str, world: World, client: Client) -> None:
    """Otherwise the test above would find nothing to be on record."""
    client.force_login(account(world, reader))
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    assert FIND_TRACES.search(shown)


@pytest.mark.parametrize(
    "written",
    [
        "53.601341, 0.151937",
        "[0.1519370,53.6013410]",
        "lat=53.6013&lon=0.1519",
        "TA 425 138",
        "TA425138",
        "TA 4250 1380",
        "TA4250713800",
        "53°36′04.8″N 0°09′06.9″E",
        "53 36.080 N 0 9.116 E",
        "31U CU",
    ],
)
def test_a_place_is_known_in_every_spelling(written: str) -> None:
    """Each way of writing that the position field reads, about the place itself."""
    grid, utm = to_national_grid(*FIND_AT), to_utm(*FIND_AT)
    letters = british_letters(grid.easting, grid.northing)
    if written.startswith("TA"):
        figures = sum(c.isdigit() for c in written)
        written = reference(letters, grid.easting, grid.northing, figures)
        written = written if " " in written else written.replace(" ", "")
    if written == "31U CU":
        written = mgrs_reference(utm, 8)
    assert FIND_TRACES.search(f"It lay at {written}."), written
    metres = [f"{grid.easting:.0f}, {grid.northing:.0f}", f"{utm.easting:.2f} {utm.northing:.2f}"]
    assert all(FIND_TRACES.search(each) for each in metres)


def test_a_landholder_with_the_code_reads_papers_and_the_page_with_it(world: World) -> None:
    """Otherwise the link's reader above would be turned away at the door everywhere."""
    client = Client()
    type_code(client, world.link)
    for name in ("reports:landholder", "reports:landholder_papers"):
        assert client.get(reverse(name, args=[key_of(world.link)])).status_code == 200, name


def test_the_traces_are_those_that_the_pages_would_show(world: World, client: Client) -> None:
    """Otherwise the tests above would look for something that is never written."""
    client.force_login(world.committee)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    issued = everything_in(client.get(reverse("reports:issued_pdf", args=[world.heritage.pk])))
    assert FIND_TRACES.search(shown)
    assert FIND_TRACES.search(issued)
    assert {view.where for view in FindspotView.objects.filter(by=world.committee, find=world.locked)} >= {
        "find page",
        "issued report, PDF",
    }


def test_the_place_opens_to_the_usual_readers_when_the_case_has_ended(world: World, client: Client) -> None:
    type(world.locked).objects.filter(pk=world.locked.pk).update(locked=False)
    client.force_login(world.secretary)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    assert FIND_TRACES.search(shown)
