"""The case board, the pages of custody and the storage boxes ask the database as often for many as for few."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds import actions
from finds.actions.custody import first_holders
from finds.models import Box, BoxReading, Case, CaseTask, CaseVote, CustodyEntry, Find, HandOver
from finds.states import LOCKS
from tests import make
from tests.views.custody_world import condition_photo
from tests.views.world import World, build, hoard, shared_world

pytestmark = pytest.mark.django_db

standing_world, world = shared_world(build)

FEW, MANY = 2, 12
STAGES = sorted(state.value for state in LOCKS)


def cases(world: World, number: int) -> None:
    """`number` cases in each running stage, each of its own find; some are late, some have a proposal and a task."""
    for stage in STAGES:
        for _ in range(number):
            case = hoard(world.hunt, world.member).cases.get()
            case.state = stage
            if len(stage) % 2:
                case.due_on = make.days(-3)
            if stage == "decided":
                case.decision, case.decided_on = "returned" if number == 1 else "acquired", make.days(-1)
            case.save()
            _paper(case, world)


def _paper(case: Case, world: World) -> None:
    said = {"case": case, "at": now(), "by": world.committee, "words": "tokens", "facts_digest": "0" * 64}
    CaseVote.objects.create(says=CaseVote.Says.PROPOSES, client_id=uuid4(), **said)
    task = {"what": "ring the officer", "whose": world.committee, "client_id": uuid4()}
    CaseTask.objects.create(case=case, made_at=now(), made_by=world.committee, **task)


def objects(world: World, number: int) -> None:
    """`number` finds with three keepers, a third of them overdue, each waiting in a hand-over of its own."""
    for n in range(number):
        find = kept(world, 1)[0]
        to = ("officer", "landholder", "museum")[n % 3]
        CustodyEntry.objects.create(
            find=find, step=2, at=now(), to_holder=to, to_name="Ada Warp", purpose="a look",
            due_back=None if n % 3 else make.days(-1), recorded_by=world.secretary,
        )  # fmt: skip
        said = {"to_holder": "finder", "to_name": "Mo", "purpose": "back", "capacity": "keeper"}
        actions.propose_hand_over([find.pk], by=world.secretary, at=now(), client_id=uuid4(), **said)


def kept(world: World, number: int) -> list[Find]:
    """`number` finds with their finder."""
    finds = [make.find(world.hunt, world.member) for _ in range(number)]
    first_holders(finds)
    return finds


def boxes(world: World, number: int) -> None:
    """`number` boxes, each with a find in it and a card that was read."""
    for find in kept(world, number):
        said = {"name": f"Iron {find.pk}", "kept_at": "Hut", "kind": "iron", "has_gel": True}
        box = actions.save_box(None, by=world.secretary, at=now(), client_id=uuid4(), **said)
        _read(box, world)
        actions.into_box(box.pk, [find.number], by=world.secretary, at=now())


def _read(box: Box, world: World) -> None:
    BoxReading.objects.create(box=box, on=make.days(-40), humidity_percent=30, at=now(), by=world.secretary)


def one_box(world: World, number: int) -> None:
    """`number` more objects in the first box, and as many readings of its card."""
    if not Box.objects.exists():
        boxes(world, 1)
    box = Box.objects.get()
    numbers = [find.number for find in kept(world, number)]
    actions.into_box(box.pk, numbers, by=world.secretary, at=now())
    for _ in numbers:
        _read(box, world)


def hand_over(world: World, number: int) -> HandOver:
    """One hand-over of `number` objects, each with a photograph of its condition."""
    ids = [find.pk for find in kept(world, number)]
    said = {"to_holder": "officer", "to_name": "Ida", "purpose": "a look", "capacity": "finder"}
    row = actions.propose_hand_over(ids, by=world.secretary, at=now(), client_id=uuid4(), **said)
    for item in row.items.all():
        condition_photo(item, world)
    return row


def asked(world: World, reader: str, address: str) -> list[str]:
    client = Client()
    client.force_login(world.reader(reader))
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        response = client.get(address)
    assert response.status_code == 200
    return [query["sql"] for query in queries]


Asking = tuple[str, Callable[[], str]]


def check(world: World, few: Callable[[], Any], more: Callable[[], Any], *asking: Asking) -> None:
    """Each reader's page asks as many questions after `more` as after `few`."""
    few()
    before = [asked(world, reader, address()) for reader, address in asking]
    more()
    for (reader, address), earlier in zip(asking, before, strict=True):
        later = asked(world, reader, address())
        words = "\n".join(sql[:200] for sql in later if sql not in earlier)
        assert len(later) == len(earlier), f"{reader} {address()}\n{words}"


def check_twelve(world: World, rows: Callable[[World, int], Any], *asking: Asking) -> None:
    check(world, lambda: rows(world, FEW), lambda: rows(world, MANY - FEW), *asking)


def test_the_board_asks_as_often_for_fifteen_cases_as_for_one_of_every_stage(world: World) -> None:
    asking = [(reader, lambda: reverse("finds:case_list")) for reader in ("committee", "member")]
    check(world, lambda: cases(world, 1), lambda: cases(world, 2), *asking)


def test_where_is_it_now_asks_as_often_for_twelve_objects(world: World) -> None:
    address = reverse("finds:custody_list")
    narrowed = f"{address}?holder=authority&overdue=on&q=Ada"
    readers = ("secretary", "member")
    check_twelve(
        world,
        objects,
        *((reader, lambda: address) for reader in readers),
        *((reader, lambda: narrowed) for reader in readers),
    )


def test_boxes_ask_as_often_for_twelve(world: World) -> None:
    check_twelve(world, boxes, ("secretary", lambda: reverse("finds:box_list")))


def test_a_box_asks_as_often_for_twelve_objects(world: World) -> None:
    check_twelve(world, one_box, ("secretary", lambda: reverse("finds:box", args=[Box.objects.get().pk])))


def test_a_hand_over_asks_as_often_for_twelve_objects(world: World) -> None:
    few, many = (hand_over(world, number).pk for number in (FEW, MANY))
    for page in ("finds:hand_over", "reports:receipt"):
        for_few, for_many = (asked(world, "secretary", reverse(page, args=[pk])) for pk in (few, many))
        assert len(for_many) == len(for_few), "\n".join(sql[:200] for sql in for_many if sql not in for_few)
