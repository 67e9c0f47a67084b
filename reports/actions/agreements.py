"""Send an agreement for signature: freeze its text, ask each signer once, and take a request back."""

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils.translation import gettext as _

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions import move_permission
from permissions.models import Permission
from permissions.states import State
from reports.agreements import Signer, latest_issue, says
from reports.blocks import Report
from reports.content import digest, to_data
from reports.mail import post
from reports.models import AgreementIssue, SignatureRequest
from reports.sign_links import sign_key_of
from web.files import private_name

AGAIN_AFTER = timedelta(minutes=10)
"""A button pressed twice sends one e-mail; after this it is a reminder that was meant."""


class AgreementError(Exception):
    """The agreement cannot be sent or signed now; the sentence says why and what to do."""


@dataclass(frozen=True)
class Sent:
    """The issue, who was sent an e-mail, and whose address must be handed over because none is known."""

    issue: AgreementIssue
    mailed: list[str]
    by_hand: list[str]


@transaction.atomic
def send_agreement(
    permission_id: int,
    report: Report,
    pdf: bytes,
    signers: Iterable[Signer],
    *,
    by: User,
    at: datetime,
    expires_at: datetime,
    address_of: Callable[[str], str],
) -> Sent:
    """Freeze `report` with its `pdf` unless the last issue says the same, and ask each of `signers` to sign it.

    `address_of` makes a whole address of a key. A draft counts as asked for from now on. Sent twice it is one
    issue and one request a signer; who has signed is not asked again. Raises AgreementError for a permission that
    was refused or has ended, or without a signer.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    permission = Permission.objects.select_for_update().get(pk=permission_id)
    chosen = list(signers)
    if not chosen:
        raise AgreementError(_("Nobody is chosen to sign; tick at least one landholder."))
    if permission.state in (State.REFUSED, State.ENDED):
        raise AgreementError(
            _(
                "%(permission_reference)s is %(permission_state)s; write down a new permission, or ask "
                "again, before sending."
            )
            % {"permission_reference": permission.reference, "permission_state": _(permission.state)}
        )
    issue = _frozen(permission, report, pdf, by=by, at=at)
    if permission.state == State.DRAFT:
        move_permission(permission.pk, State.ASKED, by=by, at=at)
    sent = Sent(issue, [], [])
    for signer in chosen:
        row = _request_for(issue, signer, by=by, at=at, expires_at=expires_at)
        if hasattr(row, "signature"):
            continue
        if signer.landholder.email:
            _mail(row, signer, address_of(sign_key_of(row)), by=by, at=at)
        (sent.mailed if signer.landholder.email else sent.by_hand).append(signer.landholder.name)
    return sent


def _frozen(permission: Permission, report: Report, pdf: bytes, *, by: User, at: datetime) -> AgreementIssue:
    last = latest_issue(permission)
    if last is not None and says(last.content) == says(to_data(report)):
        return last
    if AgreementIssue.objects.filter(number=report.number).exists():
        raise AgreementError(
            _(
                "Somebody else sent %(report_number)s a moment ago, with another text; look at it before "
                "sending again."
            )
            % {"report_number": report.number}
        )
    row = AgreementIssue(
        permission=permission,
        number=report.number,
        issue=last.issue + 1 if last else 1,
        content=to_data(report),
        content_sha256=digest(report),
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        issued_at=at,
        issued_by=by,
    )
    row.pdf.save(private_name("agreement", "pdf"), ContentFile(pdf), save=False)
    try:
        row.save()
    except BaseException:
        row.pdf.storage.delete(row.pdf.name)  # no row names it, so nothing may keep it
        raise
    audit.record("agreement.issue", permission, by=by, at=at, number=row.number, sha256=row.content_sha256)
    return row


def _request_for(
    issue: AgreementIssue, signer: Signer, *, by: User, at: datetime, expires_at: datetime
) -> SignatureRequest:
    """The signer's request for this issue, made now if there is none; an expired one makes room for a new one."""
    rows = issue.requests.unrevoked().select_for_update(of=("self",))
    row = rows.filter(landholder=signer.landholder, capacity=signer.capacity).first()
    if row is not None and (hasattr(row, "signature") or row.expires_at > at):
        return row
    if row is not None:
        revoke_request(row.pk, by=by, at=at)
    row = SignatureRequest.objects.create(
        issue=issue,
        landholder=signer.landholder,
        capacity=signer.capacity,
        acts_for=signer.acts_for,
        made_at=at,
        made_by=by,
        expires_at=expires_at,
    )
    row.sites.set(signer.sites)
    said: dict[str, Any] = {
        "number": issue.number,
        "landholder": signer.landholder.pk,
        "capacity": signer.capacity.value,
    }
    audit.record("agreement.ask", issue.permission, by=by, at=at, **said)
    return row


def _mail(row: SignatureRequest, signer: Signer, address: str, *, by: User, at: datetime) -> None:
    if row.sent_at is not None and at - row.sent_at <= AGAIN_AFTER:
        return
    row.sent_at = at
    row.save(update_fields=["sent_at"])
    facts = {"issue": row.issue, "until": row.expires_at, "signer": signer, "sender": by.name}
    post(signer.landholder.email, "sign", reply_to=by.email, address=address, **facts)


@transaction.atomic
def revoke_request(request_id: int, *, by: User, at: datetime) -> SignatureRequest:
    """End the address of a request at once; a signature given stays. Revoking it twice keeps the first time."""
    require(by, Right.MANAGE_PERMISSIONS)
    rows = SignatureRequest.objects.select_for_update(of=("self",)).select_related("issue__permission")
    row = rows.get(pk=request_id)
    if row.revoked_at is None:
        row.revoked_at = at
        row.save(update_fields=["revoked_at"])
        audit.record("agreement.take_back", row.issue.permission, by=by, at=at, request=row.pk)
    return row
