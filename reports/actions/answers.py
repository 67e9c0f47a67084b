"""What a landholder says through the link, and the club's answer to it."""

from datetime import datetime
from uuid import UUID

from django.db import transaction

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions import pause_permission
from permissions.models import LandholderLink, Permission
from reports.models import Concern, IssuedReport, LandholderAnswer


def _answer(
    link: LandholderLink, what: str, *, via: str, at: datetime, client_id: UUID, **fields: object
) -> LandholderAnswer:
    there = LandholderAnswer.objects.filter(client_id=client_id, link=link).first()
    if there is not None:
        return there
    row = LandholderAnswer.objects.create(
        client_id=client_id, landholder=link.landholder, link=link, what=what, at=at, **fields
    )
    audit.record(f"landholder.{what}", row, by=None, via=via, at=at)
    return row


@transaction.atomic
def landholder_answers(
    link: LandholderLink,
    what: LandholderAnswer.What,
    *,
    via: str,
    at: datetime,
    client_id: UUID,
    words: str = "",
    signed_name: str = "",
    report: IssuedReport | None = None,
) -> LandholderAnswer:
    """Keep a confirmation, a dispute or a concern. The same `client_id` twice is one answer."""
    return _answer(
        link, what, via=via, at=at, client_id=client_id, words=words, signed_name=signed_name, report=report
    )


@transaction.atomic
def landholder_pauses(
    link: LandholderLink, permission: Permission, *, via: str, at: datetime, client_id: UUID, words: str
) -> LandholderAnswer:
    """Pause a permission over land where this landholder has a say; it takes effect at once."""
    row = _answer(
        link,
        LandholderAnswer.What.PAUSED,
        via=via,
        at=at,
        client_id=client_id,
        words=words,
        permission=permission,
    )
    pause_permission(permission, by=None, via=via, at=at, why=words)
    return row


@transaction.atomic
def concern_settled(answer_id: int, *, by: User, at: datetime, words: str) -> Concern:
    """Record what the club did about an answer that asked for something. Twice is once."""
    require(by, Right.MANAGE_PERMISSIONS)
    answer = LandholderAnswer.objects.get(pk=answer_id)
    row, made = Concern.objects.get_or_create(
        answer=answer, defaults={"settled_at": at, "settled_by": by, "words": words}
    )
    if made:
        audit.record("landholder.settled", row, by=by, at=at, answer=answer.pk)
    return row


@transaction.atomic
def link_used(link: LandholderLink, *, via: str, at: datetime) -> None:
    """Note that the link's page was opened, so that the secretary sees whether it is read."""
    LandholderLink.objects.filter(pk=link.pk).update(last_used_at=at)
