"""Signed keys in addresses that open one thing for one person to sign: each for its own purpose and until its day."""

from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from django.core import signing
from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from permissions.links import LinkError
from web.once import OnceModel

Row = TypeVar("Row", bound=OnceModel)


def key_for(row: OnceModel, salt: str) -> str:
    """Return the key that goes into the address: the row's identifier, signed for the purpose `salt` only."""
    return signing.Signer(salt=salt).sign(row.client_id.hex)


def open_row(rows: QuerySet[Row], key: str, salt: str, *, at: datetime) -> Row:
    """Return the one of `rows` behind `key`. Raises LinkError for an altered, withdrawn or expired one.

    Rows hold `revoked_at` and `expires_at`; what is not among them counts as withdrawn.
    """
    try:
        client_id = UUID(signing.Signer(salt=salt).unsign(key))
    except (signing.BadSignature, ValueError) as error:
        raise LinkError(
            _(
                "This address is not complete or was changed on the way. Open it from the club's message again, "
                "or ask the club for a new one."
            )
        ) from error
    row = rows.filter(client_id=client_id).first()
    kept: Any = row
    if row is None or kept.revoked_at is not None:
        raise LinkError(_("The club has withdrawn this address. Please ask the club for a new one."))
    if kept.expires_at <= at:
        raise LinkError(
            _("This address worked until %(day)s. Please ask the club for a new one.")
            % {"day": date_format(localtime(kept.expires_at), "j F Y")}
        )
    return row
