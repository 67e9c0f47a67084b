"""Add and change landholders, and make and revoke their private links. The trail never holds their details."""

from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from people import audit
from people.actions import carry_mail_choices, forget_address
from people.models import User
from people.rights import Right, require
from permissions.models import Consent, Landholder, LandholderLink, LinkCode
from permissions.states import State
from web.taken import create_once


@transaction.atomic
def add_landholder(*, by: User, at: datetime, **fields: Any) -> Landholder:
    """Add a landholder. Sent twice it is one."""
    require(by, Right.MANAGE_PERMISSIONS)
    row, made = create_once(Landholder, **fields)
    if made:
        audit.record("landholder.add", row, by=by, at=at, label=_label(row))
    return row


@transaction.atomic
def change_landholder(landholder_id: int, *, by: User, at: datetime, **fields: Any) -> Landholder:
    """Change a landholder's details; the trail keeps which ones, not what they were."""
    require(by, Right.MANAGE_PERMISSIONS)
    row = Landholder.objects.select_for_update().get(pk=landholder_id)
    changed = [name for name, value in fields.items() if getattr(row, name) != value]
    if "email" in changed and row.email and fields["email"]:
        carry_mail_choices(row.email, fields["email"], by=by, at=at)
    for name in changed:
        setattr(row, name, fields[name])
    if changed:
        row.save(update_fields=changed)
        audit.record("landholder.change", row, by=by, at=at, label=_label(row), changed=changed)
    return row


class StillNeededError(Exception):
    """The details cannot go yet: an agreement in force rests on them. The sentence says which."""


@transaction.atomic
def erase_landholder(landholder_id: int, *, by: User, at: datetime, on: date) -> Landholder:
    """Erase a landholder's name and contact details and end their links.

    Consents, dates and sites stay without the name: they show that past hunts had leave, and reports that were
    issued are frozen. Raises StillNeededError while a consent of theirs is in force on `on`. Twice is once.
    """
    require(by, Right.MANAGE_PERMISSIONS)
    row = Landholder.objects.select_for_update().get(pk=landholder_id)
    if row.erased_on is not None:
        return row
    standing = Consent.objects.in_force(on).filter(landholder=row).select_related("permission").first()
    if standing is not None and standing.permission.state in (State.GRANTED, State.PAUSED):
        raise StillNeededError(
            _(
                "%(row_name)s has consented to %(permission_reference)s, which is in force. Withdraw the "
                "consent or end the permission first; then the details can be erased."
            )
            % {"row_name": row.name, "permission_reference": standing.permission.reference}
        )
    if row.email:
        forget_address(row.email, by=by, at=at)
    row.name, row.erased_on = _("Landholder %(row_pk)s (erased)") % {"row_pk": row.pk}, on
    for name in ("contact_name", "email", "phone", "address", "notes", "held_why"):
        setattr(row, name, "")
    row.asks_code = False
    row.save()
    row.links.filter(revoked_at__isnull=True).update(revoked_at=at)
    LinkCode.objects.filter(link__landholder=row).delete()
    row.consents.exclude(notes="").update(notes="")
    audit.record("landholder.erase", row, by=by, at=at, label=_label(row))
    return row


@transaction.atomic
def make_link(
    landholder: Landholder, *, by: User, at: datetime, expires_at: datetime, client_id: UUID
) -> LandholderLink:
    """Make a private link that opens the landholder's page until `expires_at` or until it is revoked."""
    require(by, Right.MANAGE_PERMISSIONS)
    link, made = create_once(
        LandholderLink,
        client_id=client_id,
        landholder=landholder,
        made_at=at,
        made_by=by,
        expires_at=expires_at,
    )
    if made:
        audit.record("link.make", landholder, by=by, at=at, label=_label(landholder), link=link.pk)
    return link


@transaction.atomic
def revoke_link(link_id: int, *, by: User, at: datetime) -> LandholderLink:
    """End a link at once. Revoking it twice keeps the first time."""
    require(by, Right.MANAGE_PERMISSIONS)
    link = LandholderLink.objects.select_for_update(of=("self",)).select_related("landholder").get(pk=link_id)
    if link.revoked_at is None:
        link.revoked_at = at
        link.save(update_fields=["revoked_at"])
        audit.record(
            "link.revoke", link.landholder, by=by, at=at, label=_label(link.landholder), link=link.pk
        )
    return link


@transaction.atomic
def link_used(link: LandholderLink, *, via: str, at: datetime) -> None:
    """Note that the landholder's page was opened; only the last time is kept, and no trail of reading."""
    LandholderLink.objects.filter(pk=link.pk).update(last_used_at=at)


def _label(landholder: Landholder) -> str:
    return f"landholder {landholder.pk}"
