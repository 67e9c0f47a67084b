"""Consents that landholders give and withdraw themselves, through a link: nobody's account, `by` is None."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from people import audit
from permissions.actions.permissions import grant_by_consents
from permissions.gate_visits import consents_complete
from permissions.models import Consent, Landholder, Permission, Site
from permissions.states import State
from web.taken import create_once


class NotOpenError(Exception):
    """The permission can take no consent now; the sentence says why."""


@transaction.atomic
def consent_by_link(
    permission_id: int,
    *,
    via: str,
    at: datetime,
    client_id: UUID,
    landholder: Landholder,
    capacity: str,
    sites: Iterable[Site],
    starts: date | None,
    ends: date | None,
    notes: str = "",
) -> Consent:
    """Record the consent that a landholder signed on line, for exactly the sites and days of the signed text.

    A consent that was asked for and is unanswered becomes the answer. When the last one needed has come, the
    permission is granted. The same `client_id` twice is one consent. Raises NotOpenError for a permission that was
    refused or has ended.
    """
    permission = Permission.objects.select_for_update().get(pk=permission_id)
    if permission.state in (State.REFUSED, State.ENDED):
        raise NotOpenError(
            _("This permission is %(permission_state)s, so there is nothing to sign. Please ask the club.")
            % {"permission_state": _(permission.state)}
        )
    fields: dict[str, Any] = {"given_on": localdate(at), "starts": starts, "ends": ends, "notes": notes}
    fields["evidence_kind"] = Consent.Evidence.ONLINE
    row = _asked(permission, landholder, capacity)
    if row is None:
        who: dict[str, Any] = {"permission": permission, "landholder": landholder, "capacity": capacity}
        row, made = create_once(Consent, client_id=client_id, **who, **fields)
        if not made:
            return row
    else:
        Consent.objects.filter(pk=row.pk).update(**fields)
        row.refresh_from_db()
    row.sites.set(sites)
    said: dict[str, Any] = {
        "consent": row.pk,
        "landholder": landholder.pk,
        "capacity": capacity,
        "ends": str(ends),
    }
    codes = sorted(row.sites.values_list("code", flat=True))
    audit.record("consent.sign", permission, by=None, via=via, at=at, sites=codes, **said)
    if consents_complete(permission, max(localdate(at), permission.starts or localdate(at))):
        grant_by_consents(permission.pk, via=via, at=at)
    return row


def _asked(permission: Permission, landholder: Landholder, capacity: str) -> Consent | None:
    """The consent that was asked for in that capacity and has no answer yet."""
    asked = permission.consents.select_for_update().filter(landholder=landholder, capacity=capacity)
    return asked.filter(given_on__isnull=True, withdrawn_on__isnull=True).first()


@transaction.atomic
def withdraw_by_link(
    permission_id: int, landholder: Landholder, *, via: str, at: datetime, on: date
) -> list[Consent]:
    """Withdraw every standing consent of `landholder` to the permission: from `on` none counts. Twice is once."""
    permission = Permission.objects.select_for_update().get(pk=permission_id)
    given = permission.consents.select_for_update().filter(landholder=landholder, given_on__isnull=False)
    standing = [row for row in given if row.withdrawn_on is None or row.withdrawn_on > on]
    for row in standing:
        row.withdrawn_on = on
        row.save(update_fields=["withdrawn_on"])
        audit.record("consent.withdraw", permission, by=None, via=via, at=at, consent=row.pk, on=str(on))
    return standing
