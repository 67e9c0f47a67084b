"""What a landholder says through the link, and the club's answer to it."""

from collections.abc import Collection
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.mail import tell
from hunts.states import SignUpState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from permissions.actions import pause_permission
from permissions.models import LandholderLink, Permission
from reports.actions.returning import returns_answered
from reports.mail import post, secretaries
from reports.models import Concern, IssuedReport, LandholderAnswer
from web.taken import create_once


def _answer(
    link: LandholderLink, what: LandholderAnswer.What, *, via: str, at: datetime, **fields: Any
) -> tuple[LandholderAnswer, bool]:
    """The answer with `fields["client_id"]` and whether it was made now."""
    row, made = create_once(
        LandholderAnswer, landholder=link.landholder, link=link, what=what, at=at, **fields
    )
    if row.link_id != link.pk:
        raise PermissionDenied(
            _("This form was sent from another address; open your page again and send it there.")
        )
    if made:
        audit.record(f"landholder.{what.value}", row, by=None, via=via, at=at)
    return row, made


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
    missing: Collection[str] = (),
) -> LandholderAnswer:
    """Keep a confirmation or a dispute. The same `client_id` twice is one answer.

    What was received of a returns statement is the landholder's from now; the finds with numbers in `missing` stay
    where they are, as questions that the club answers.
    """
    if missing:
        with speaking(""):
            lacks = _("Not received: %(missing)s") % {"missing": ", ".join(sorted(missing))}
        words = f"{words}\n{lacks}"
    said = {"client_id": client_id, "words": words, "signed_name": signed_name, "report": report}
    row, made = _answer(link, what, via=via, at=at, **said)
    if made and report is not None:
        disputed = what == LandholderAnswer.What.DISPUTED
        heard: dict[str, Any] = {
            "name": signed_name,
            "words": words,
            "missing": missing,
            "disputed": disputed,
        }
        returns_answered(report, via=via, at=at, **heard)
    return row


@transaction.atomic
def landholder_writes(
    link: LandholderLink,
    what: LandholderAnswer.What,
    *,
    via: str,
    at: datetime,
    client_id: UUID,
    words: str,
    signed_name: str = "",
) -> LandholderAnswer:
    """Keep a question, a concern or an invitation, and mail the secretary. The same `client_id` twice is one."""
    said = {"client_id": client_id, "words": words, "signed_name": signed_name}
    row, made = _answer(link, what, via=via, at=at, **said)
    if made:
        for person in secretaries(localdate(at)):
            post(person.email, "landholder_wrote", person=person, answer=row)
    return row


@transaction.atomic
def landholder_pauses(
    link: LandholderLink, permission: Permission, *, via: str, at: datetime, client_id: UUID, words: str
) -> LandholderAnswer:
    """Pause a permission over land where this landholder has a say; it takes effect at once.

    The leader and everybody who has or waits for a place on a coming hunt of it are told. The same `client_id`
    twice is one pause. Raises IllegalMoveError for a permission that is not in force.
    """
    said = {"client_id": client_id, "words": words, "permission": permission}
    row, made = _answer(link, LandholderAnswer.What.PAUSED, via=via, at=at, **said)
    if made:
        pause_permission(permission, by=None, via=via, at=at, why=words)
        for hunt in permission.hunts.coming(localdate(at)).select_related("leader"):
            coming = hunt.sign_ups.exclude(state=SignUpState.WITHDRAWN)
            tell({hunt.leader, *User.objects.filter(sign_ups__in=coming)}, "paused", hunt)
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
