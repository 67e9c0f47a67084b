"""Log many holes of a hunt at once: the same record as hunts.actions.holes makes, with one write for all of a kind."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from hunts.actions.holes import (
    check_date,
    check_may_log,
    fill_in,
    last_number,
    open_incident_of,
    own,
    said_of,
)
from hunts.actions.locks import locked_hunt
from hunts.actions.photos import PreparedHolePhoto, attach
from hunts.models import Hole, SignUp
from hunts.models.hole import Outcome
from people import audit
from people.models import User
from people.rights import Right, require


@dataclass(frozen=True, slots=True, kw_only=True)
class NewHole:
    """One hole as `log_hole` takes it, of a hunt that runs."""

    by: User
    at: datetime
    client_id: UUID
    fields: dict[str, Any]
    filled: bool = False
    stopped_for: str = ""
    photos: Sequence[PreparedHolePhoto] = ()


@transaction.atomic
def log_holes(hunt_id: int, rows: Sequence[NewHole]) -> list[Hole]:
    """Log holes of one hunt in their order, each as `log_hole` does alone; returned in the same order.

    A `client_id` that was sent before gives the hole that is there. Raises as `log_hole` does, and keeps none then.
    """
    for row in rows:
        require(row.by, Right.LOG_HOLES)
    hunt = locked_hunt(hunt_id)
    there = {
        hole.client_id: hole for hole in Hole.objects.filter(client_id__in=[row.client_id for row in rows])
    }
    found = {row.client_id: own(there[row.client_id], row.by) for row in rows if row.client_id in there}
    new = [row for row in rows if row.client_id not in found]
    standing = set(SignUp.objects.people_on(hunt.pk))
    for row in new:
        check_may_log(hunt, row.by, row.fields["digger"], None, standing=standing)
        check_date(hunt, row.fields["dug_at"], at=row.at)
    holes = []
    for number, row in enumerate(new, last_number(hunt) + 1):
        hole = Hole(client_id=row.client_id, hunt=hunt, number=number, **row.fields)
        fill_in(hole, row.fields, filled_at=row.at if row.filled else None, by=row.by)
        holes.append(hole)
    _keep(holes, new)
    found |= {hole.client_id: hole for hole in holes}
    return [found[row.client_id] for row in rows]


def _keep(holes: Sequence[Hole], rows: Sequence[NewHole]) -> None:
    Hole.objects.bulk_create(holes)
    both = list(zip(holes, rows, strict=True))
    audit.record_each("hole.log", ((hole, row.by, row.at, said_of(hole)) for hole, row in both))
    for hole, row in both:
        attach(hole, row.photos, by=row.by, at=row.at)
        if hole.outcome == Outcome.STOPPED:
            open_incident_of(hole, row.stopped_for, by=row.by, at=row.at)
