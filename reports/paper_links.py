"""The signed key in the address that opens one paper for one signer."""

from datetime import datetime
from uuid import UUID

from django.core import signing
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from permissions.links import LinkError
from reports.models import PaperSigner

SALT = "paper-signature"
"""Of its own, so that no other key of the club signs a paper and this one opens nothing else."""


def paper_key_of(signer: PaperSigner) -> str:
    """Return the key that goes into the address: the signer's identifier, signed for this purpose only."""
    return signing.Signer(salt=SALT).sign(signer.client_id.hex)


def open_signer(key: str, *, at: datetime) -> PaperSigner:
    """Return the signer behind `key`. Raises LinkError for an altered, withdrawn or expired one."""
    try:
        client_id = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError) as error:
        raise LinkError(
            _(
                "This address is not complete or was changed on the way. Open it from the club's message again, "
                "or ask the club for a new one."
            )
        ) from error
    rows = PaperSigner.objects.select_related("paper__sheet", "paper__find", "landholder", "signature")
    row = rows.filter(client_id=client_id).first()
    erased = row is not None and row.landholder is not None and row.landholder.erased_on is not None
    if row is None or row.revoked_at is not None or erased:
        raise LinkError(_("The club has withdrawn this address. Please ask the club for a new one."))
    if row.expires_at <= at:
        raise LinkError(
            _("This address worked until %(row_expires_at)s. Please ask the club for a new one.")
            % {"row_expires_at": date_format(localtime(row.expires_at), "j F Y")}
        )
    return row
