"""Many holes and finds at once: what one after the other gives, all or nothing, and no more questions for more."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection, models, transaction
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import make_aware

from finds.actions import FindDateError, NotOnHuntError, record_find
from finds.actions.record_many import NewFind, record_finds
from finds.models import Case, CustodyEntry, Find, FindMaterial, FindNumber, PairSuggestion, ScreeningRecord
from hunts import actions
from hunts.actions.holes_many import NewHole, log_holes
from hunts.errors import HoleDateError, HoleError
from hunts.models import Hole, HolePhoto, Hunt, Incident
from people.models import AuditEntry, User
from tests import make

HELD = (
    AuditEntry,
    Hole,
    HolePhoto,
    Incident,
    Find,
    FindMaterial,
    FindNumber,
    CustodyEntry,
    ScreeningRecord,
    Case,
)
OWN_KEYS = {
    "id",
    "client_id",
    "subject",
    "number_row_id",
    "find_id",
    "hole_id",
    "display",
    "thumb",
    "incident_id",
}


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running", on=make.days(-1))
    make.sign_up(made, member)
    make.club()
    return made


def noon(hunt: Hunt) -> datetime:
    return make_aware(datetime.combine(hunt.on, time(12)))


def what_is_kept() -> dict[str, list[dict[str, Any]]]:
    """Every row of the tables written to, without what differs from run to run; trail and pairs in no order."""
    kept = {model.__name__: [_plain(row) for row in _rows(model)] for model in (*HELD, PairSuggestion)}
    for row in kept["PairSuggestion"]:
        row["distance_m"] = round(row["distance_m"], 6)
    for name in ("AuditEntry", "PairSuggestion"):
        kept[name].sort(key=str)
    return kept


def _rows(model: type[models.Model]) -> list[dict[str, Any]]:
    return list(model._default_manager.order_by("pk").values())


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in row.items() if key not in OWN_KEYS | {"first_id", "second_id"}}


def both_ways(one_by_one: Callable[[], Any], together: Callable[[], Any]) -> tuple[Any, Any]:
    kept = []
    for way in (one_by_one, together):
        with transaction.atomic():
            way()
            kept.append(what_is_kept())
            transaction.set_rollback(True)
    return kept[0], kept[1]


def holes(hunt: Hunt, member: User, leader: User, count: int = 6) -> list[NewHole]:
    (site,) = hunt.sites.all()
    outcomes = ["find", "scrap", "stopped", "nothing", "iron", "find"]
    return [
        NewHole(
            by=leader if n % 3 == 2 else member,
            at=noon(hunt),
            client_id=UUID(int=n + 1),
            filled=n != 3,
            stopped_for="ordnance" if outcomes[n % 6] == "stopped" else "",
            fields={
                "site": site,
                "digger": member,
                "dug_at": noon(hunt),
                "depth_cm": 10 + n,
                "outcome": outcomes[n % 6],
                "lon": 0.1512 + 0.003 * (n % 4),
                "lat": 53.6007,
                "accuracy_m": 5.0,
            },
        )
        for n in range(count)
    ]


def finds(hunt: Hunt, member: User, leader: User, count: int = 6) -> list[NewFind]:
    (site,) = hunt.sites.all()
    return [
        NewFind(
            by=member if n % 3 else leader,
            at=noon(hunt) + timedelta(seconds=n),
            client_id=UUID(int=n + 1),
            materials={"silver": Decimal(92)} if n in {1, 2} else {"lead": None},
            fields={
                "finder": member,
                "site": site,
                "found_at": noon(hunt),
                "object_type": "penny" if n < 3 else "musket ball",
                "is_coin": "yes" if n < 3 else "no",
                "lon": 0.1512 + 0.00001 * n,
                "lat": 53.6007,
                "accuracy_m": 5.0,
            }
            | ({"year_from": 1205, "year_to": 1247} if n < 3 else {}),
        )
        for n in range(count)
    ]


def test_holes_together_are_what_they_are_one_by_one(hunt: Hunt, member: User, leader: User) -> None:
    rows = holes(hunt, member, leader)

    def alone() -> None:
        for row in rows:
            said = {"by": row.by, "at": row.at, "client_id": row.client_id, "filled": row.filled}
            actions.log_hole(hunt.pk, **said, stopped_for=row.stopped_for, **row.fields)

    one_by_one, together = both_ways(alone, lambda: log_holes(hunt.pk, rows))
    assert together == one_by_one
    assert [row["number"] for row in together["Hole"]] == [1, 2, 3, 4, 5, 6]
    assert {row["placing"] for row in together["Hole"]} >= {"inside", "outside"}
    assert together["Incident"]


def test_finds_together_are_what_they_are_one_by_one(hunt: Hunt, member: User, leader: User) -> None:
    rows = finds(hunt, member, leader)

    def alone() -> None:
        for row in rows:
            said = {"by": row.by, "at": row.at, "client_id": row.client_id, "materials": row.materials}
            record_find(hunt.pk, **said, **row.fields)

    one_by_one, together = both_ways(alone, lambda: record_finds(hunt.pk, rows))
    assert together == one_by_one
    assert together["Case"]
    assert together["PairSuggestion"]


@pytest.mark.once
@pytest.mark.parametrize(("make_rows", "keep"), [(holes, log_holes), (finds, record_finds)])
def test_sent_again_they_are_there_already(
    make_rows: Any, keep: Any, hunt: Hunt, member: User, leader: User
) -> None:
    rows = make_rows(hunt, member, leader)
    first = keep(hunt.pk, rows[:2])
    assert [row.client_id for row in keep(hunt.pk, rows)] == [row.client_id for row in rows]
    assert keep(hunt.pk, rows)[:2] == first
    assert (Hole if make_rows is holes else Find).objects.count() == len(rows)
    assert keep(hunt.pk, []) == []


@pytest.mark.once
def test_one_that_may_not_be_leaves_none(hunt: Hunt, member: User, leader: User, stranger: User) -> None:
    other = make.person(name="Orla Ness")
    good, tomorrow = holes(hunt, member, leader, 2), noon(hunt) + timedelta(days=1)
    for wrong, error in (
        ({"fields": good[1].fields | {"dug_at": tomorrow}}, HoleDateError),
        ({"fields": good[1].fields | {"digger": other}, "by": other}, PermissionDenied),
        ({"by": other}, PermissionDenied),
        ({"by": stranger}, PermissionDenied),
    ):
        with pytest.raises(error):
            log_holes(hunt.pk, [good[0], changed(good[1], wrong)])
    found = finds(hunt, member, leader, 2)
    for wrong, error in (
        ({"fields": found[1].fields | {"found_at": tomorrow}}, FindDateError),
        ({"fields": found[1].fields | {"finder": other}, "by": other}, NotOnHuntError),
        ({"by": other}, PermissionDenied),
        ({"by": stranger}, PermissionDenied),
    ):
        with pytest.raises(error):
            record_finds(hunt.pk, [found[0], changed(found[1], wrong)])
    Hunt.objects.filter(pk=hunt.pk).update(state="closed")
    with pytest.raises(HoleError, match="is closed"):
        log_holes(hunt.pk, good)
    assert not Hole.objects.exists()
    assert not Find.objects.exists()
    assert not FindNumber.objects.exists()


@pytest.mark.once
def test_somebody_elses_key_shows_nothing(hunt: Hunt, member: User, leader: User) -> None:
    other = make.person()
    make.sign_up(hunt, other)
    mine, found = holes(hunt, member, leader, 1), finds(hunt, member, leader, 1)
    log_holes(hunt.pk, mine)
    record_finds(hunt.pk, found)
    with pytest.raises(PermissionDenied):
        log_holes(hunt.pk, [changed(mine[0], {"by": other})])
    with pytest.raises(PermissionDenied):
        record_finds(hunt.pk, [changed(found[0], {"by": other})])


def changed(row: Any, wrong: dict[str, Any]) -> Any:
    return replace(row, **wrong)


@pytest.mark.once
def test_many_ask_the_database_as_often_as_few(hunt: Hunt, member: User, leader: User) -> None:
    def asked(keep: Callable[[int, list[Any]], Any], rows: list[Any]) -> int:
        with CaptureQueriesContext(connection) as queries, transaction.atomic():
            keep(hunt.pk, rows)
            transaction.set_rollback(True)
        return len(queries)

    assert member.roles
    assert leader.roles  # read once a request
    dull = [row for row in holes(hunt, member, leader, 20) if row.fields["outcome"] != "stopped"]
    assert asked(log_holes, dull) == asked(log_holes, dull[:3])
    plain = finds(hunt, member, leader, 12)[3:]  # SQLite takes a thousand values in one statement
    assert asked(record_finds, plain) == asked(record_finds, plain[:3])
