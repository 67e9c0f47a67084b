"""Record each landholder's yes, and its withdrawal."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.db import transaction

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.evidence import Evidence
from permissions.models import Consent, Permission, Site
from web.taken import create_once


@transaction.atomic
def add_consent(
    permission: Permission,
    *,
    by: User,
    at: datetime,
    sites: Iterable[Site] = (),
    evidence: Evidence | None = None,
    **fields: Any,
) -> Consent:
    """Record one landholder's consent in one capacity; no `sites` means all of the permission's. Once per form."""
    require(by, Right.MANAGE_PERMISSIONS)
    row, made = create_once(Consent, permission=permission, **fields)
    if not made:
        return row
    row.sites.set(sites)
    _keep_evidence(row, evidence)
    audit.record("consent.add", permission, by=by, at=at, **_said(row))
    return row


@transaction.atomic
def correct_consent(
    consent_id: int,
    *,
    by: User,
    at: datetime,
    sites: Iterable[Site] = (),
    evidence: Evidence | None = None,
    **fields: Any,
) -> Consent:
    """Record the answer to a consent that was asked for, or put right what was written down wrongly.

    The trail keeps what it said before. New evidence takes the place of the old in the record; the old file stays
    in the store under the name that the trail holds.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    row = Consent.objects.select_for_update(of=("self",)).select_related("permission").get(pk=consent_id)
    before = _said(row)
    for name, value in fields.items():
        setattr(row, name, value)
    row.save(update_fields=[*fields])
    row.sites.set(sites)
    _keep_evidence(row, evidence)
    audit.record("consent.correct", row.permission, by=by, at=at, before=before, **_said(row))
    return row


def _keep_evidence(row: Consent, evidence: Evidence | None) -> None:
    if evidence is not None:
        row.evidence_name = evidence.name
        row.evidence_file.save(evidence.store_name, evidence.content, save=False)
        row.save(update_fields=["evidence_name", "evidence_file"])


@transaction.atomic
def withdraw_consent(consent_id: int, *, by: User, at: datetime, on: date) -> Consent:
    """Withdraw a consent: from `on` it no longer counts. Withdrawing it twice keeps the earlier day."""
    require(by, Right.MANAGE_PERMISSIONS)
    row = Consent.objects.select_for_update(of=("self",)).select_related("permission").get(pk=consent_id)
    if row.withdrawn_on is None or on < row.withdrawn_on:
        row.withdrawn_on = on
        row.save(update_fields=["withdrawn_on"])
        audit.record("consent.withdraw", row.permission, by=by, at=at, consent=row.pk, on=str(on))
    return row


def _said(row: Consent) -> dict[str, Any]:
    return {
        "consent": row.pk,
        "landholder": row.landholder_id,
        "capacity": row.capacity,
        "given_on": str(row.given_on),
        "starts": str(row.starts),
        "ends": str(row.ends),
        "evidence": row.evidence_kind,
        "file": row.evidence_file.name or "",
        "sites": sorted(row.sites.values_list("code", flat=True)),
    }
