"""A landholder withdraws consent through the private page; people signed up and the secretary are told."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.gates import gates_now
from hunts.models import Hunt
from hunts.states import SignUpState
from people import audit
from people.models import User
from permissions.actions import withdraw_by_link
from permissions.gate import Answer
from permissions.models import LandholderLink, Permission
from reports.mail import post, secretaries
from reports.models import LandholderAnswer
from web.taken import create_once


@transaction.atomic
def landholder_withdraws(
    link: LandholderLink, permission: Permission, *, via: str, at: datetime, client_id: UUID, words: str
) -> LandholderAnswer:
    """Withdraw this landholder's consent to `permission` at once; today's gate no longer counts it.

    Everybody who has or waits for a place on a coming hunt that this shuts is told, and so is the secretary. The same
    `client_id` twice is one withdrawal.
    """
    on, what = localdate(at), LandholderAnswer.What.WITHDREW
    said: dict[str, Any] = {
        "landholder": link.landholder,
        "link": link,
        "what": what,
        "at": at,
        "words": words,
    }
    row, made = create_once(LandholderAnswer, client_id=client_id, permission=permission, **said)
    if row.link_id != link.pk:
        raise PermissionDenied(
            _("This form was sent from another address; open your page again and send it there.")
        )
    if not made:
        return row
    withdrawn = withdraw_by_link(permission.pk, link.landholder, via=via, at=at, on=on)
    audit.record(
        "landholder.withdrew",
        row,
        by=None,
        via=via,
        at=at,
        consents=[c.pk for c in withdrawn],
    )
    shut = _shut_hunts(permission, at=at)
    for hunt in shut:
        for person in _coming(hunt):
            post(person.email, "gate_shut", person=person, hunt=hunt)
    for person in secretaries(on):
        post(person.email, "withdrawn", person=person, permission=permission, words=words, hunts=shut)
    return row


def _shut_hunts(permission: Permission, *, at: datetime) -> list[Hunt]:
    """Coming hunts on the permission whose gate is shut now."""
    hunts = list(permission.hunts.coming(localdate(at)).prefetch_related("sites"))
    gates = gates_now(hunts, at=at)
    return [hunt for hunt in hunts if gates[hunt.pk].answer is Answer.SHUT]


def _coming(hunt: Hunt) -> list[User]:
    """Everybody with a place or waiting, and the leader, each once."""
    ups = hunt.sign_ups.exclude(state=SignUpState.WITHDRAWN)
    return list(User.objects.filter(pk__in=[*ups.values_list("user", flat=True), hunt.leader_id]))
