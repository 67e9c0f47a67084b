"""E-mails of the reports app: plain text with an HTML alternative, kept in the outbox, never with a place."""

from datetime import date, datetime
from typing import Any

from people.letter_kinds import LetterKind
from people.letters import Draft, compose, queue
from people.models import RoleHeld, User
from people.rights import Role

KIND_OF: dict[str, LetterKind] = {
    "digest": LetterKind.DIGEST,
    "sign": LetterKind.CONSENT,
    "declined": LetterKind.CONSENT,
    "withdrawn": LetterKind.CONSENT,
    "signed": LetterKind.SIGNED,
    "gate_shut": LetterKind.HUNT,
}
"""What is not named here is a duty of the club (LetterKind.CLUB), unless the caller says `kind`."""


def letter(
    to: str,
    message: str,
    reply_to: str = "",
    *,
    kind: LetterKind | None = None,
    expires_at: datetime | None = None,
    dedupe_key: str = "",
    **facts: Any,
) -> Draft:
    """The letter made of reports/mail/<message>_subject.txt, <message>.txt and <message>.html."""
    chosen = kind or KIND_OF.get(message, LetterKind.CLUB)
    hunt = facts.get("hunt")
    until = expires_at or (hunt.day_ends if chosen is LetterKind.HUNT and hunt else None)
    template = f"reports/mail/{message}"
    return compose(to, chosen, template, facts, reply_to=reply_to, expires_at=until, dedupe_key=dedupe_key)


def post(to: str, message: str, reply_to: str = "", **facts: Any) -> None:
    """Keep `letter` in the outbox with what it tells of. It leaves once the transaction is kept.

    `kind`, `expires_at` and `dedupe_key` may be given among `facts`, as `letter` names them.
    """
    queue([letter(to, message, reply_to, **facts)])


def secretaries(on: date) -> list[User]:
    """Members who hold the secretary's role on `on`."""
    held = RoleHeld.objects.current(on).filter(role=Role.SECRETARY).values("user")
    return list(User.objects.members_on(on).filter(pk__in=held, is_active=True).order_by("pk"))
