"""Nothing that a reader gets may depend on where a locked find lies, if they may not see the place.

Noninterference (J. A. Goguen and J. Meseguer, Security Policies and Security Models, 1982): every address is asked
twice, and between the two the locked finds, their holes and their incidents are moved by kilometres. The answers must
be the same to the byte. This needs no list of spellings: pixels of a picture, an order of rows, a count in a
square, a gap beside a lane and a note of precision would all differ.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from io import BytesIO
from typing import Any
from zipfile import ZipFile, is_zipfile

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now
from pypdf import PdfReader

from finds.models import Find
from finds.squares import map_columns
from hunts.models import Hole, Incident
from people.models import User
from people.rights import Role
from permissions.links import key_of
from reports.sign_links import sign_key_of
from tests import EVERYTHING, make
from tests.views.access import Row, as_readers
from tests.views.test_access import ROWS
from tests.views.world import World, build

pytestmark = pytest.mark.django_db

HERE, THERE = (0.150437, 53.600319), (0.187651, 53.631742)
# Questions that pages take in their address; the plain address is asked too.
QUERIES = {
    "finds:list": ["?q=pennies", "?whose=mine", "?sort=place"],
    "finds:map": ["?q=pennies", "?material=silver"],
    "finds:map_data": [
        "?box=0.14,53.59,0.16,53.61&zoom=17",
        "?box=0.17,53.62,0.20,53.64&zoom=17",
        "?box=-2,52,2,55&zoom=7",
    ],
    "finds:map_picture": ["?material=silver"],
    "doors:items": ["?bbox=0.14,53.59,0.16,53.61&limit=1", "?bbox=0.17,53.62,0.20,53.64&f=html"],
    "hunts:hole_list": ["?state=unfilled"],
    "hunts:coverage": ["?person=all"],
}
# Headers that differ between any two answers; a PDF of the same words may differ by its time of making.
VARYING = {
    "Content-Security-Policy",
    "Content-Length",
    "Last-Modified",
    "ETag",
    "Date",
    "Vary",
    "X-Request-ID",
}
READERS = (
    "anonymous",
    "stranger",
    "other_member",
    "other_leader",
    "secretary",
    "link",
    "expired",
    "member",
)


@pytest.fixture
def world(db: None) -> World:
    """Two locked finds out of locked holes, each with a locked incident: the member's own, and the leader's."""
    world = build()
    for find, digger in ((world.locked, world.member), (world.others_locked, world.leader)):
        hole = make.hole(world.hunt, digger, locked=True)
        Find.objects.filter(pk=find.pk).update(hole=hole)
        Incident.objects.create(
            hunt=world.hunt,
            site=world.site,
            hole=hole,
            kind="gate",
            happened_at=now(),
            words="A heap of coins: stopped.",
            recorded_by=digger,
            locked=True,
            lon=HERE[0],
            lat=HERE[1],
        )
        find.refresh_from_db()
    return world


def move(world: World, finds: list[Any], place: tuple[float, float]) -> None:
    """Put the locked finds, their holes and incidents at `place`, in all columns that say where."""
    lon, lat = place
    near_edge = place == THERE
    text = {
        "position_text": f"{lat}, {lon}",
        "lon": lon,
        "lat": lat,
        "accuracy_m": 9.5 if near_edge else 3.5,
        "position_method": "map" if near_edge else "device",
    }
    # That a find lies within metres of a boundary says where it lies.
    placing = {
        "placing": "uncertain" if near_edge else "inside",
        "placing_probability": 0.6 if near_edge else 1.0,
    }
    for find in finds:
        columns = map_columns(lon, lat, world.site.country)
        Find.objects.filter(pk=find.pk).update(**text, **placing, **columns)
        Hole.objects.filter(pk=find.hole_id).update(**text, **placing)
        Incident.objects.filter(hole=find.hole_id).update(**text)


@contextmanager
def undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def account(world: World, reader: str) -> User | None:
    if reader == "other_member":
        return make.person(name="Ned Spit")
    if reader == "other_leader":
        return make.person(Role.LEADER, name="Lyn Ness")
    return world.reader(reader)


def visitor(world: World, reader: str, user: User | None) -> Client:
    """Signed in, or with the landholder's and the signer's links opened."""
    client = Client()
    if user is not None:
        client.force_login(user)
    for name in keyed(world, reader):
        client.get(reverse(name, args=[keyed(world, reader)[name]]))
    return client


def keyed(world: World, reader: str) -> dict[str, str]:
    if reader not in {"link", "expired"}:
        return {}
    link = world.link if reader == "link" else world.expired_link
    request = world.sign_request if reader == "link" else world.expired_request
    return {"reports:landholder": key_of(link), "reports:sign": sign_key_of(request)}


def arguments(world: World, row: Row, reader: str) -> dict[str, Any]:
    found = row.kwargs(world)
    keys = keyed(world, reader) or keyed(world, "link")
    if found.get("key") == "":
        found["key"] = keys["reports:sign" if row.name.startswith("reports:sign") else "reports:landholder"]
    return found


def content(response: HttpResponse) -> str:
    """All of an answer that could tell something, without what differs in any two answers."""
    body = b"".join(response.streaming_content) if response.streaming else response.content
    kind = response.get("Content-Type", "")
    if kind == "application/pdf" and len(body) > 1000:  # shorter ones stand in for PDFs in the world
        leaves = PdfReader(BytesIO(body)).pages
        text = "\n".join(f"{leaf.extract_text()}\n{leaf.get_contents().get_data()!r}" for leaf in leaves)
    elif is_zipfile(BytesIO(body)):
        archive = ZipFile(BytesIO(body))
        text = "\n".join(f"{name} {archive.read(name)!r}" for name in archive.namelist())
    else:
        text = (
            body.decode("utf-8") if kind.startswith("text") or "json" in kind or "xml" in kind else repr(body)
        )
    headers = {name: value for name, value in response.headers.items() if name not in VARYING}
    return plain(f"{response.status_code} {headers}\n{text}")


def plain(text: str) -> str:
    """Without tokens made anew for each answer, and without the clock."""
    text = re.sub(r'(csrfmiddlewaretoken" value|nonce)="[^"]*"', r"\1", text)
    text = re.sub(r"[0-9a-f]{8}-([0-9a-f]{4}-){3}[0-9a-f]{12}", "uuid", text)
    text = re.sub(r"sbk_[\w-]{43}", "key", text)
    text = re.sub(r"/\d+(?=[/?'#])", "/pk", text) if text.startswith("302") else text
    return re.sub(r"(?<!\d)\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?(?!\d)", "clock", text)


def ask(client: Client, row: Row, address: str, data: Callable[[], dict[str, Any]]) -> str:
    cookies = deepcopy(client.cookies)  # messages wait in a cookie for the next page
    with undone():
        answer = content(getattr(client, row.method)(address, data()))
    client.cookies = cookies
    return answer


def first_difference(one: str, other: str) -> str:
    """Two equal requests must get equal answers, or nothing is proved: this shows what still differs."""
    place = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), -1)
    return f"two equal requests differ: {one[place - 80 : place + 80]!r}"


def differs(world: World, row: Row, query: str, client: Client, reader: str, finds: list[Any]) -> bool:
    """Does the answer change with the place? A change that comes back when the place does is a leak."""
    with undone():
        address = reverse(row.name, kwargs=arguments(world, row, reader)) + query

        def at(place: tuple[float, float]) -> str:
            with undone():
                move(world, finds, place)
                return ask(client, row, address, lambda: row.data(world))

        here, there = at(HERE), at(THERE)
        if here == there:
            return False
        again = at(HERE), at(THERE)
        assert again == (here, there), f"{row.name}: {first_difference(here, again[0])}"
        return True


def is_question(row: Row) -> bool:
    """Is it asked in a usual run? What is sent to be kept answers with an address or with its own form: the matrix
    reads those answers for the place, and STUBBLE_EVERYTHING=1 asks them here as well."""
    return row.method == "get" or row.name in QUERIES


@pytest.mark.parametrize("reader", as_readers(READERS, others="long", usual=("other_member",)))
def test_no_answer_depends_on_where_a_locked_find_lies(
    reader: str, world: World, django_capture_on_commit_callbacks: Any
) -> None:
    user = account(world, reader)
    finds = [world.others_locked] if reader == "member" else [world.locked, world.others_locked]
    client = visitor(world, reader, user)
    # The pages of second factors make a new secret for each answer, and know nothing of finds.
    rows = [row for row in ROWS if not row.name.startswith("mfa_") and (EVERYTHING or is_question(row))]
    asked = [(row, query) for row in rows for query in ("", *QUERIES.get(row.name, []))]
    with django_capture_on_commit_callbacks(execute=False):
        told = [
            f"{row.method} {row.name}{query}"
            for row, query in asked
            if differs(world, row, query, client, reader, finds)
        ]
    assert told == []


def test_those_who_may_see_the_place_get_other_answers(world: World) -> None:
    """Otherwise the test above would compare nothing."""
    client = visitor(world, "committee", world.committee)
    finds = [world.locked, world.others_locked]
    rows = [row for row in ROWS if row.name in {"finds:detail", "hunts:hole_detail"} and row.method == "get"]
    told = {row.name for row in rows if differs(world, row, "", client, "committee", finds)}
    assert "finds:detail" in told
