"""Going back to holes on grass, and weighing the scrap."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.utils.timezone import now

from hunts import actions
from hunts.errors import HoleError, HuntError
from hunts.models import Hole, HoleRecheck, Hunt
from hunts.rechecks import is_overdue, rechecks_due
from people.models import AuditEntry, User
from tests import make


@pytest.fixture
def hunt(leader: User) -> Hunt:
    return make.hunt(leader=leader, state="closed")


def grass(hunt: Hunt, digger: User, days: float, **fields: Any) -> Hole:
    when = now() - timedelta(days)
    values = {"ground": "pasture", "state": "filled", "filled_at": when, "filled_by": digger} | fields
    return make.hole(hunt, digger, **values)


def look(hole: Hole, by: User, **changes: Any) -> HoleRecheck:
    values = {"client_id": uuid4(), "sound": True} | changes
    return actions.recheck_hole(hole.pk, by=by, at=now(), **values)


@pytest.mark.parametrize(("days", "due"), [(13.9, False), (14, True), (60, True)])
def test_grass_is_due_from_two_weeks(hunt: Hunt, leader: User, member: User, days: float, due: bool) -> None:
    """Revisit at 2 to 4 weeks on grass: facts/trade.md 6, common practice."""
    hole = grass(hunt, member, days)
    assert (hole in rechecks_due(leader, now())) is due


@pytest.mark.parametrize(
    "fields", [{"ground": "stubble"}, {"state": "dug", "filled_at": None, "filled_by": None}]
)
def test_other_ground_and_open_holes_are_not_listed(
    hunt: Hunt, leader: User, member: User, fields: dict[str, Any]
) -> None:
    grass(hunt, member, 20, **fields)
    assert not rechecks_due(leader, now()).exists()


def test_members_are_asked_for_nothing(hunt: Hunt, member: User) -> None:
    hole = grass(hunt, member, 20)
    assert not rechecks_due(member, now()).exists()
    with pytest.raises(PermissionDenied):
        look(hole, member)


def test_after_four_weeks_it_is_overdue(hunt: Hunt, member: User) -> None:
    assert not is_overdue(grass(hunt, member, 28), now())
    assert is_overdue(grass(hunt, member, 29), now())


def test_a_sound_hole_leaves_the_list_once(hunt: Hunt, leader: User, member: User) -> None:
    hole, once = grass(hunt, member, 20), uuid4()
    assert look(hole, leader, client_id=once) == look(hole, leader, client_id=once)
    assert not rechecks_due(leader, now()).exists()
    assert AuditEntry.objects.filter(verb="hole.recheck").count() == 1


def test_a_sunk_hole_is_open_again_and_comes_back_after_filling(
    hunt: Hunt, leader: User, member: User
) -> None:
    hole = grass(hunt, member, 20)
    look(hole, leader, sound=False, words="Sunk by 5 cm")
    hole.refresh_from_db()
    assert (hole.state, hole.reopened_why) == ("dug", "Sunk by 5 cm")
    actions.fill_hole(hole.pk, by=member, at=now())
    assert hole in rechecks_due(leader, now() + timedelta(15))


@pytest.mark.parametrize(
    ("days", "changes", "words"),
    [(13, {}, "filled 13 days ago"), (20, {"sound": False, "words": "  "}, "Say what is wrong")],
)
def test_what_cannot_be_is_named(
    hunt: Hunt, leader: User, member: User, days: int, changes: dict[str, Any], words: str
) -> None:
    with pytest.raises(HoleError, match=words):
        look(grass(hunt, member, days), leader, **changes)
    assert not HoleRecheck.objects.exists()


def test_an_open_hole_is_filled_before_it_is_looked_at(hunt: Hunt, leader: User, member: User) -> None:
    with pytest.raises(HoleError, match="is not filled"):
        look(make.hole(hunt, member), leader)


def test_scrap_is_weighed_by_those_who_run_hunts(hunt: Hunt, leader: User, member: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.weigh_scrap(hunt.pk, by=member, at=now(), scrap_kg=Decimal(3))
    assert actions.weigh_scrap(hunt.pk, by=leader, at=now(), scrap_kg=Decimal("4.25")).scrap_kg == Decimal(
        "4.25"
    )
    assert actions.weigh_scrap(hunt.pk, by=leader, at=now(), scrap_kg=None).scrap_kg is None


@pytest.mark.parametrize(
    ("state", "kg", "words"), [("open", 1, "during the hunt"), ("closed", -1, "-1 kg cannot be")]
)
def test_scrap_that_cannot_be_is_named(hunt: Hunt, leader: User, state: str, kg: int, words: str) -> None:
    Hunt.objects.update(state=state)
    with pytest.raises(HuntError, match=words):
        actions.weigh_scrap(hunt.pk, by=leader, at=now(), scrap_kg=Decimal(kg))
