"""Letters of the outbox in the states that tests need."""

from datetime import datetime, timedelta
from typing import Any

from django.utils.timezone import now

from people.letter_kinds import LetterKind
from people.letters import Draft, queue
from people.models import Letter


def draft(to: str = "mo@marram.example", kind: LetterKind = LetterKind.CLUB, **fields: Any) -> Draft:
    words = {"subject": "Words for Mo", "text": "Hello Mo.\n", "html": "<p>Hello Mo.</p>"}
    return Draft(to=to, kind=kind, **{**words, **fields})


def waiting(to: str = "mo@marram.example", kind: LetterKind = LetterKind.CLUB, **fields: Any) -> Letter:
    """A letter in the queue that nobody has tried."""
    (row,) = queue([draft(to, kind, **fields)], soon=False)
    return row


def given_up(to: str = "mo@marram.example", at: datetime | None = None, **fields: Any) -> Letter:
    """A letter that the receiving side refused for good."""
    row = waiting(to, **fields)
    row.gave_up_at, row.trouble, row.tries = at or now(), Letter.Trouble.NEVER, 1
    row.last_error = "550 No such user here"
    row.save()
    return row


def perhaps_sent(to: str = "mo@marram.example", **fields: Any) -> Letter:
    """A letter that a process claimed an hour ago and of which nothing more was heard."""
    row = waiting(to, **fields)
    row.claimed_at, row.tries = now() - timedelta(hours=1), 1
    row.save()
    return row
