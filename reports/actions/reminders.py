"""Claim the day's list for a person before it is sent, and keep what became of it: never twice, safe to retry."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils.timezone import localdate

from people.models import User
from reports.models import Reminder


@transaction.atomic
def claim_reminder(user: User, *, via: str, at: datetime, items: int) -> Reminder | None:
    """The row that lets the caller send today's list to `user`, or None when somebody else has sent or is sending it.

    Kept before the e-mail leaves: a run that dies while sending leaves its claim, and nobody is written to twice.
    Only a claim of which the mail server refused the e-mail can be taken again.
    """
    on = localdate(at)
    try:
        with transaction.atomic():
            return Reminder.objects.create(user=user, on=on, claimed_at=at, items=items)
    except IntegrityError:
        row = Reminder.objects.select_for_update().get(user=user, on=on)
    if row.sent_at is not None or row.failed_at is None:
        return None
    row.claimed_at, row.failed_at, row.items = at, None, items
    row.save(update_fields=["claimed_at", "failed_at", "items"])
    return row


@transaction.atomic
def settle_reminder(reminder_id: int, *, via: str, at: datetime, sent: bool) -> None:
    """Keep that the e-mail was taken by the mail server, or that it was refused and may be tried again."""
    Reminder.objects.filter(pk=reminder_id).update(**{"sent_at" if sent else "failed_at": at})
