"""Record many finds at once: the same record as finds.actions.record makes, with one write for all of a kind."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.timezone import localtime

from finds.actions.custody import first_holders
from finds.actions.photos import PreparedPhoto, attach
from finds.actions.record import check_date, check_may_record, own
from finds.actions.screening_many import screen_new
from finds.actions.suggest_many import suggest_for_new
from finds.described import Materials, Pairs, completed, material_rows
from finds.import_plan import Coming
from finds.models import Find, FindMaterial
from finds.numbers import next_numbers
from finds.squares import map_columns
from hunts.models import Hunt, SignUp
from people import audit
from people.models import User
from people.rights import Right, require


@dataclass(frozen=True, slots=True, kw_only=True)
class NewFind:
    """One find as `record_find` takes it."""

    by: User
    at: datetime
    client_id: UUID
    materials: Materials
    fields: dict[str, Any]
    photos: Sequence[PreparedPhoto] = ()


@transaction.atomic
def record_finds(hunt_id: int, rows: Sequence[NewFind]) -> list[Find]:
    """Record finds of one hunt in their order, each as record_find does alone; returned in the same order.

    A `client_id` that was sent before gives the find that is there. Raises as record_find does, and keeps none then.
    """
    for row in rows:
        require(row.by, Right.LOG_HOLES)
    hunt = Hunt.objects.select_for_update(of=("self",)).get(
        pk=hunt_id
    )  # one sending twice at once waits here
    there = {
        find.client_id: find for find in Find.objects.filter(client_id__in=[row.client_id for row in rows])
    }
    found = {row.client_id: own(there[row.client_id], row.by) for row in rows if row.client_id in there}
    new = [row for row in rows if row.client_id not in found]
    standing = set(SignUp.objects.people_on(hunt.pk))
    for row in new:
        check_may_record(hunt, row.by, row.fields["finder"], standing=standing)
        check_date(hunt, row.fields["found_at"], at=row.at)
    finds = [new_find(hunt, row.client_id, row.fields, by=row.by, at=row.at) for row in new]
    keep_new(finds, [row.materials for row in new])
    for find, row in zip(finds, new, strict=True):
        attach(find, row.photos, by=row.by, at=row.at)
    found |= {find.client_id: find for find in finds}
    return [found[row.client_id] for row in rows]


def record_many(rows: Sequence[Coming], *, by: User, at: datetime) -> list[Find]:
    """Record the rows of a plan without problems. Inside the transaction that judged them, its hunts locked."""
    finds = [new_find(row.hunt, row.key, row.fields, by=by, at=at) for row in rows]
    keep_new(finds, [row.materials for row in rows])
    return finds


def new_find(hunt: Hunt, client_id: UUID, fields: dict[str, Any], *, by: User, at: datetime) -> Find:
    """A find that is not kept yet, with what follows from its words and its place; `keep_new` gives it a number."""
    fields = fields | completed(fields, fields["site"].jurisdiction)
    fields |= map_columns(fields.get("lon"), fields.get("lat"), fields["site"].country)
    return Find(client_id=client_id, hunt=hunt, recorded_at=at, recorded_by=by, **fields)


def keep_new(finds: Sequence[Find], materials: Sequence[Materials | Pairs]) -> None:
    """Number and keep new finds with custody, trail, screening and pairs, each by and at what it says itself."""
    wanted = [(localtime(find.found_at).year, find.recorded_at) for find in finds]
    for find, (row, number) in zip(finds, next_numbers(wanted), strict=True):
        find.number_row, find.number = row, number
    Find.objects.bulk_create(finds)
    FindMaterial.objects.bulk_create(
        row for find, said in zip(finds, materials, strict=True) for row in material_rows(find, said)
    )
    first_holders(finds)
    audit.record_each("find.record", ((find, find.recorded_by, find.recorded_at, {}) for find in finds))
    screen_new(finds)
    suggest_for_new(finds)
