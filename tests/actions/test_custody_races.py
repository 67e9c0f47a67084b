"""Several people hand over the same objects at the same moment, under real threads: one wins."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any
from uuid import uuid4

import pytest
from django.utils.timezone import now

from finds import actions
from finds.actions.custody import first_holder
from finds.hand_over_text import digest_of, items_of, text_of
from finds.models import CustodyEntry, Find, HandOver
from finds.models.hand_over import Side
from finds.states import HandOverState
from people.models import User
from people.rights import Role
from tests import make
from tests.actions.test_hunt_races import together

pytestmark = pytest.mark.django_db(transaction=True)


def scene(count: int = 2) -> tuple[list[Find], list[User]]:
    make.club()
    hunt = make.hunt()
    member = make.person()
    finds = [make.find(hunt, member) for _ in range(count)]
    for find in finds:
        first_holder(find, by=member, at=now())
    return finds, [make.person(Role.SECRETARY), make.person(Role.COMMITTEE)]


def proposing(finds: list[Find], by: User) -> Callable[[], Any]:
    said = {"to_holder": "officer", "to_name": f"For {by.pk}", "purpose": "x", "capacity": "keeper"}
    ids = [find.pk for find in finds]
    return lambda: actions.propose_hand_over(ids, by=by, at=now(), client_id=uuid4(), **said)


def accepting(row: HandOver) -> Callable[[], Any]:
    read = digest_of(text_of(row, items_of(row), Side.RECEIVER))
    said = {"client_id": uuid4(), "name": "Ida Drift", "drawn": [], "read_sha256": read}
    return lambda: actions.sign_hand_over(row.pk, Side.RECEIVER, by=None, via="link", at=now(), **said)


def whole(finds: list[Find]) -> None:
    """Steps from 1 without a gap, one holder each, every step from where the one before went."""
    for find in finds:
        ledger = list(find.custody.order_by("step"))
        assert [entry.step for entry in ledger] == list(range(1, len(ledger) + 1))
        for earlier, later in pairwise(ledger):
            assert later.from_name == earlier.to_name
    assert CustodyEntry.objects.current().count() == len(finds)


def test_two_proposals_of_overlapping_batches_in_other_orders_one_wins() -> None:
    finds, (one, other) = scene(3)
    rows = together(proposing(finds, one), proposing(finds[::-1], other))
    assert sum(isinstance(row, HandOver) for row in rows) == 1
    assert HandOver.objects.get().items.count() == 3


def test_proposals_at_once_get_numbers_of_their_own() -> None:
    finds, (one, other) = scene(2)
    rows = together(proposing(finds[:1], one), proposing(finds[1:], other))
    assert len({row.number for row in rows}) == 2


def test_one_acceptance_sent_four_times_at_once_is_one() -> None:
    finds, (one, _) = scene()
    row = proposing(finds, one)()
    signatures = together(*[accepting(row)] * 4)
    assert len({signature.pk for signature in signatures}) == 1
    whole(finds)
    assert CustodyEntry.objects.filter(step=2).count() == 2


def test_acceptance_and_cancelling_at_once_one_wins() -> None:
    finds, (one, _) = scene()
    row = proposing(finds, one)()
    together(accepting(row), lambda: actions.cancel_hand_over(row.pk, by=one, at=now(), why="no"))
    row.refresh_from_db()
    moved = CustodyEntry.objects.filter(step=2).count()
    assert (row.state, moved) in {(HandOverState.ACCEPTED, 2), (HandOverState.CANCELLED, 0)}
    whole(finds)


def test_acceptance_and_a_direct_move_at_once_leave_one_holder() -> None:
    finds, (one, other) = scene()
    row = proposing(finds, one)()
    move = {"after_step": 1, "to_holder": "museum", "to_name": "Museum", "purpose": "display"}
    together(accepting(row), lambda: actions.hand_over(finds[0].pk, by=other, at=now(), **move))
    whole(finds)
    assert finds[0].custody.count() == 2


def test_two_losses_at_once_are_one() -> None:
    finds, people = scene(1)
    said = {"what": "lost", "happened_on": make.days(-1), "words": "gone", "after_step": 1}
    together(*(lambda by=by: actions.record_loss(finds[0].pk, by=by, at=now(), **said) for by in people))
    whole(finds)
    assert finds[0].custody.count() == 2
