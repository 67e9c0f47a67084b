"""A person's kit: own only, once only, on the hunt's day, and in the trail."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils.timezone import localdate, now

from hunts import actions
from hunts.errors import KitError
from hunts.models import BenchTest, CareTick, GroundReading, Hunt, Kit, SetUp
from people.models import AuditEntry, User
from tests import make, make_kit


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running", started_at=now())
    make.attendance(made, member)
    return made


def fields(**changes: Any) -> dict[str, Any]:
    return {"name": "Big coil", "coil_length_cm": 33, "client_id": uuid4()} | changes


def test_adding_a_machine_twice_is_adding_it_once(member: User) -> None:
    once = fields()
    assert actions.add_kit(by=member, at=now(), **once) == actions.add_kit(by=member, at=now(), **once)
    assert AuditEntry.objects.filter(verb="kit.add").count() == 1


def test_another_persons_key_gives_nothing_away(member: User, leader: User) -> None:
    once = fields()
    actions.add_kit(by=member, at=now(), **once)
    with pytest.raises(PermissionDenied):
        actions.add_kit(by=leader, at=now(), **once)


def test_a_stranger_keeps_no_kit(stranger: User) -> None:
    with pytest.raises(PermissionDenied):
        actions.add_kit(by=stranger, at=now(), **fields())


def test_only_the_owner_changes_puts_away_or_tests_it(member: User, leader: User) -> None:
    kit = make_kit.kit(member)
    for wanted in (
        lambda: actions.change_kit(kit.pk, by=leader, at=now(), name="Mine now"),
        lambda: actions.retire_kit(kit.pk, by=leader, at=now()),
        lambda: actions.log_bench(kit.pk, by=leader, at=now(), client_id=uuid4(), heard=True),
    ):
        with pytest.raises(PermissionDenied), transaction.atomic():
            wanted()
    kit.refresh_from_db()
    assert (kit.name != "Mine now", kit.retired_on) == (True, None)


def test_putting_away_and_taking_up_again(member: User) -> None:
    kit = make_kit.kit(member)
    assert actions.retire_kit(kit.pk, by=member, at=now()).retired_on == localdate()
    assert actions.retire_kit(kit.pk, by=member, at=now()).retired_on is None
    assert set(AuditEntry.objects.values_list("verb", flat=True)) == {"kit.retire", "kit.take_up"}


def test_a_set_up_is_kept_once_with_its_hunt(hunt: Hunt, member: User) -> None:
    kit = make_kit.kit(member)
    once: dict[str, Any] = {"client_id": uuid4(), "kit": kit, "set_at": now(), "mode": "Field 2"}
    first = actions.log_set_up(hunt.pk, by=member, at=now(), **once)
    assert actions.log_set_up(hunt.pk, by=member, at=now(), **once) == first
    assert SetUp.objects.get().hunt == hunt


def test_a_set_up_of_another_day_or_of_later_is_refused(hunt: Hunt, member: User) -> None:
    kit = make_kit.kit(member)
    for when, words in (
        (now() - timedelta(2), "is not the day"),
        (now() + timedelta(minutes=5), "not come yet"),
    ):
        with pytest.raises(KitError, match=words), transaction.atomic():
            actions.log_set_up(
                hunt.pk, by=member, at=now(), client_id=uuid4(), kit=kit, set_at=when, mode="Field 2"
            )
    assert not SetUp.objects.exists()


def test_somebody_without_a_place_logs_nothing(hunt: Hunt) -> None:
    outsider = make.person()
    kit = make_kit.kit(outsider)
    with pytest.raises(PermissionDenied, match="no place"):
        actions.log_set_up(
            hunt.pk, by=outsider, at=now(), client_id=uuid4(), kit=kit, set_at=now(), mode="Field 2"
        )


def test_another_persons_machine_cannot_be_borrowed_in_the_log(
    hunt: Hunt, member: User, leader: User
) -> None:
    with pytest.raises(PermissionDenied):
        actions.log_ground(
            hunt.pk, by=member, at=now(), client_id=uuid4(), kit=make_kit.kit(leader), read_at=now(),
            environment="arable", value=60, scale="phase",
        )  # fmt: skip
    assert not GroundReading.objects.exists()


def test_battery_and_hours_are_filled_in_after_the_hunt(hunt: Hunt, member: User) -> None:
    row = make_kit.set_up(hunt, make_kit.kit(member), battery_start=100)
    Hunt.objects.filter(pk=hunt.pk).update(state="closed")
    actions.change_set_up(
        row.pk, by=member, at=now(), kit=row.kit, set_at=row.set_at, battery_end=40, hours=6.5
    )
    row.refresh_from_db()
    assert (row.battery_end, row.hours) == (40, 6.5)


def test_a_battery_that_fills_up_by_itself_is_refused_by_the_database(hunt: Hunt, member: User) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_kit.set_up(hunt, make_kit.kit(member), battery_start=40, battery_end=90)


def test_unheard_with_readings_is_refused(member: User) -> None:
    kit = make_kit.kit(member)
    with pytest.raises(KitError, match="not heard"):
        actions.log_bench(
            kit.pk, by=member, at=now(), client_id=uuid4(), heard=False, first=12, item="nail", mode="Field 2",
            distance_cm=8, orientation="face",
        )  # fmt: skip
    assert not BenchTest.objects.exists()


def test_care_is_ticked_once_with_its_day(member: User) -> None:
    kit = make_kit.kit(member)
    since = localdate() - timedelta(3)
    done: dict[str, Any] = {"occasion": "salt", "since": since, "done_on": localdate()}
    assert actions.tick_care(kit.pk, by=member, at=now(), tasks=["rinse", "dry"], **done) == 2
    assert actions.tick_care(kit.pk, by=member, at=now(), tasks=["rinse", "lugs"], **done) == 1
    assert CareTick.objects.filter(kit=kit).count() == 3


@pytest.mark.parametrize("days", [-4, 1])
def test_care_on_a_day_that_cannot_be_is_refused(member: User, days: int) -> None:
    kit, today = make_kit.kit(member), localdate()
    with pytest.raises(KitError, match="give the day"):
        actions.tick_care(
            kit.pk, by=member, at=now(), occasion="salt", since=today - timedelta(3), tasks=["rinse"],
            done_on=today + timedelta(days),
        )  # fmt: skip
    assert Kit.objects.get().care_ticks.count() == 0
