"""Note that a backup was proved: somebody brought it back in a scratch place, here or on a computer of their own."""

from datetime import date, datetime

from django.db import transaction

from people import audit
from people.kept import PROVED, last_kept
from people.models import Club, User
from people.rights import Right, require


@transaction.atomic
def note_proof(*, made_on: date, proved_on: date, by: User | None, at: datetime, via: str = "") -> None:
    """Put a line into the audit trail, once for the same two days.

    `by` is the person who says so, or None for the command that did it, named in `via`.
    """
    if by is not None:
        require(by, Right.MANAGE_CLUB)
    club = Club.objects.select_for_update().get(pk=1)
    last = last_kept()
    if (last.proved, last.proved_of) == (proved_on, made_on):
        return
    days = {"made_on": made_on.isoformat(), "proved_on": proved_on.isoformat()}
    audit.record(PROVED, club, by=by, at=at, via=via, **days)
