"""What a signer does through the address: open it, sign, or decline. Nobody's account: `by` is None."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people import audit
from people.languages import speaking
from permissions.actions import consent_by_link
from permissions.models import Consent, Permission
from permissions.states import State
from reports.actions.agreements import AgreementError
from reports.agreements import digest_of, is_current, signed_text, statement_of
from reports.mail import post, secretaries
from reports.models import Signature, SignatureRequest


class OutdatedError(AgreementError):
    """The text was changed since it was sent; the new one has to be read first."""


def _locked(request_id: int, *, at: datetime) -> SignatureRequest:
    """The request with the permission locked, so that neither terms nor another signature move meanwhile."""
    permission = SignatureRequest.objects.values_list("issue__permission", flat=True).get(pk=request_id)
    Permission.objects.select_for_update().get(pk=permission)
    rows = SignatureRequest.objects.select_for_update(of=("self",))
    row = rows.select_related("issue__permission", "landholder").get(pk=request_id)
    if row.revoked_at is not None or row.expires_at <= at:
        raise AgreementError(_("This address no longer signs. Please ask the club for a new one."))
    return row


@transaction.atomic
def sign_agreement(
    request_id: int,
    *,
    via: str,
    at: datetime,
    client_id: UUID,
    name: str,
    read_sha256: str,
    drawn: list[Any],
) -> Signature:
    """Sign the agreement: keeps the exact text and makes the consent, which may open the gate. Twice is once.

    `read_sha256` is the hash of the text that the signer had before them. Raises OutdatedError when that is not
    the text as it stands, AgreementError for an address that was taken back, NotOpenError.
    """
    row = _locked(request_id, at=at)
    there = Signature.objects.filter(request=row).first()
    if there is not None:
        return there
    text = signed_text(row)
    if read_sha256 != digest_of(text) or not is_current(row.issue, localdate(at)):
        raise OutdatedError(_("This text was changed after it was sent to you, so it was not signed."))
    consent = _consent(row, via=via, at=at, client_id=client_id)
    signature = Signature.objects.create(
        client_id=client_id,
        request=row,
        consent=consent,
        name=name,
        statement=statement_of(row),
        text=text,
        text_sha256=digest_of(text),
        drawn=drawn,
        signed_at=at,
    )
    said: dict[str, Any] = {"number": row.issue.number, "request": row.pk, "sha256": signature.text_sha256}
    permission = row.issue.permission
    audit.record("agreement.sign", permission, by=None, via=via, at=at, **said)
    _tell_secretaries(row, "signed", at=at, complete=_is_granted(permission))
    return signature


def _consent(row: SignatureRequest, *, via: str, at: datetime, client_id: UUID) -> Consent:
    """The consent that a signature gives: exactly the fields and days of the text."""
    permission = row.issue.permission
    with speaking(""):
        notes = _("Signed %(issue_number)s on line") % {"issue_number": row.issue.number}
    return consent_by_link(
        permission.pk,
        via=via,
        at=at,
        client_id=client_id,
        landholder=row.landholder,
        capacity=row.capacity,
        sites=row.sites.all(),
        starts=permission.starts,
        ends=permission.ends,
        notes=notes,
    )


def _is_granted(permission: Permission) -> bool:
    permission.refresh_from_db(fields=["state"])
    return permission.state == State.GRANTED


@transaction.atomic
def decline_agreement(request_id: int, *, via: str, at: datetime, why: str) -> SignatureRequest:
    """Keep that the signer declines, with their words; the last words count. Raises AgreementError once signed."""
    row = _locked(request_id, at=at)
    if Signature.objects.filter(request=row).exists():
        raise AgreementError(
            _(
                "You have signed this agreement. To end it, withdraw your consent on your private page or tell "
                "the club."
            )
        )
    if row.declined_why == why and row.declined_at is not None:
        return row
    row.declined_at, row.declined_why = at, why
    row.save(update_fields=["declined_at", "declined_why"])
    said: dict[str, Any] = {"number": row.issue.number, "request": row.pk, "why": why}
    audit.record("agreement.decline", row.issue.permission, by=None, via=via, at=at, **said)
    _tell_secretaries(row, "declined", at=at, why=why)
    return row


@transaction.atomic
def request_opened(request: SignatureRequest, *, via: str, at: datetime) -> None:
    """Note when the text was first opened, so that the secretary sees whether it was read."""
    SignatureRequest.objects.filter(pk=request.pk, opened_at=None).update(opened_at=at)


def _tell_secretaries(row: SignatureRequest, message: str, *, at: datetime, **facts: Any) -> None:
    for person in secretaries(localdate(at)):
        post(person.email, message, person=person, request=row, permission=row.issue.permission, **facts)
