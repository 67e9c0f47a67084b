"""E-mails about hunts. They leave only after the transaction has been kept, and carry no place of any find."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Model

from hunts.models import Hunt
from people.languages import club_language
from people.letter_kinds import LetterKind
from people.letters import compose, queue, take_back
from people.mail_message import club_name
from people.models import User

ALARM_LIVES = timedelta(days=2)
"""Longer than `late.FORGOTTEN_DAYS` an alarm helps nobody."""


def tell(people: Iterable[User], message: str, hunt: Hunt, **facts: Any) -> None:
    """Write each of `people` the templates hunts/mail/<message>.txt, _subject.txt and, where there is one, .html.

    Kept in the outbox with what it tells of. Once the hunt's day is over it is not sent any more.
    """
    club, language = club_name(), club_language()
    queue(
        compose(
            person.email,
            LetterKind.HUNT,
            f"hunts/mail/{message}",
            {"person": person, "hunt": hunt, "club_name": club, **facts},
            expires_at=hunt.day_ends,
            language=person.language or language,
        )
        for person in people
    )


def alarm(to: Iterable[str], message: str, *, at: datetime, about: Model, **facts: Any) -> None:
    """Write an alarm to each address of `to`. It overtakes every other letter and is tried every few minutes."""
    known, wanted = {"club_name": club_name(), **facts}, sorted(to)
    theirs = dict(User.objects.filter(email__in=wanted).values_list("email", "language"))
    language = club_language()
    queue(
        compose(
            address,
            LetterKind.LATE,
            f"hunts/mail/{message}",
            known,
            expires_at=at + ALARM_LIVES,
            dedupe_key=f"{_about(about)}{at.isoformat()}:{number}",
            language=theirs.get(address) or language,
        )
        for number, address in enumerate(wanted)
    )


def no_alarm(about: Model, *, at: datetime) -> None:
    """Everybody is back: an alarm that a slow mail server kept waiting must not leave any more."""
    take_back(_about(about), at=at)


def _about(record: Model) -> str:
    return f"late:{record._meta.model_name}:{record.pk}:"
