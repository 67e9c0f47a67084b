"""Record what went wrong or had to stop."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction

from hunts.errors import HuntError
from hunts.models import Hunt, Incident, SignUp
from people import audit
from people.models import User
from people.rights import Right, require

LOCKING = frozenset({Incident.Kind.REMAINS, Incident.Kind.ORDNANCE, Incident.Kind.DEPOSIT})
"""The place of these is not shown round."""


@transaction.atomic
def add_incident(hunt: Hunt, *, by: User, at: datetime, client_id: UUID, **fields: Any) -> Incident:
    """Record an incident; bones, ordnance and deposits lock its place. The same `client_id` again is one row.

    Raises PermissionDenied for somebody who was not on the hunt, HuntError for a time that has not come.
    """
    require(by, Right.LOG_HOLES)
    there = Incident.objects.filter(client_id=client_id).first()
    if there is not None:
        if there.recorded_by_id != by.pk:
            raise PermissionDenied("This record was made by somebody else.")
        return there
    if not may_record(hunt, by):
        raise PermissionDenied(f"You were not on {hunt.code}; tell its leader, {hunt.leader.name}.")
    if fields["happened_at"] > at:
        raise HuntError(
            f"{fields['happened_at']:%-d %b %Y, %H:%M} has not come yet; give the time when it happened."
        )
    locked = fields["kind"] in LOCKING
    incident = Incident.objects.create(
        hunt=hunt, client_id=client_id, recorded_by=by, locked=locked, **fields
    )
    audit.record("incident.add", incident, by=by, at=at, hunt=hunt.code, kind=incident.kind)
    return incident


def may_record(hunt: Hunt, user: User) -> bool:
    """The leader, those who run hunts, and everybody who holds a place."""
    if user.pk == hunt.leader_id or user.holds(Right.RUN_HUNT):
        return True
    return SignUp.objects.standing().filter(hunt=hunt, user=user).exists()
