"""Keep the day's list for a person in the outbox: once a day, with the row that says so."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils.timezone import localdate

from people.letters import Draft, queue
from people.models import User
from reports.models import Reminder


@transaction.atomic
def send_reminder(user: User, draft: Draft, *, via: str, at: datetime, items: int) -> Reminder | None:
    """Put today's list to `user` into the outbox, or None when that was done today.

    The row and the letter are kept together, so a run that dies leaves both or neither. A claim that an older
    version left behind because its mail server refused is taken over.
    """
    on = localdate(at)
    try:
        with transaction.atomic():
            row = Reminder.objects.create(user=user, on=on, claimed_at=at, sent_at=at, items=items)
    except IntegrityError:
        row = Reminder.objects.select_for_update().get(user=user, on=on)
        if row.sent_at is not None or row.failed_at is None:
            return None
        row.claimed_at, row.sent_at, row.failed_at, row.items = at, at, None, items
        row.save(update_fields=["claimed_at", "sent_at", "failed_at", "items"])
    queue([draft], soon=False)
    return row
