"""Put a step of setting up aside, with the reason, and take that back."""

from datetime import datetime

from django.db import transaction

from people import audit
from people.models import User
from people.rights import Right, require
from reports.models import NotNeeded


@transaction.atomic
def put_step_aside(step: str, *, why: str, by: User, at: datetime) -> NotNeeded:
    """The club does not need this step. Twice is once, and the first reason stands."""
    require(by, Right.MANAGE_CLUB)
    row, made = NotNeeded.objects.get_or_create(step=step, defaults={"why": why, "by": by, "at": at})
    if made:
        audit.record("set_up.not_needed", row, by=by, at=at, why=why)
    return row


@transaction.atomic
def take_step_up(step: str, *, by: User, at: datetime) -> None:
    """The club needs it after all. Twice is once."""
    require(by, Right.MANAGE_CLUB)
    row = NotNeeded.objects.select_for_update().filter(step=step).first()
    if row is not None:
        audit.record("set_up.needed", row, by=by, at=at)
        row.delete()
