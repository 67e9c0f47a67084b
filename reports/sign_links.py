"""The signed key in the address that opens one agreement for one signer."""

from datetime import datetime
from uuid import UUID

from django.core import signing
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from permissions.links import LinkError
from reports.models import SignatureRequest

SALT = "agreement-signature"
"""Of its own, so that a key for the landholder's page never signs and a key for signing opens nothing else."""


def sign_key_of(request: SignatureRequest) -> str:
    """Return the key that goes into the address: the request's identifier, signed for this purpose only."""
    return signing.Signer(salt=SALT).sign(request.client_id.hex)


def open_request(key: str, *, at: datetime) -> SignatureRequest:
    """Return the request behind `key`. Raises LinkError for an altered, withdrawn or expired one.

    One that was signed opens until it expires too, so that the signer can read what they signed.
    """
    try:
        client_id = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError) as error:
        raise LinkError(
            _(
                "This address is not complete or was changed on the way. Open it from the club's message again, "
                "or ask the club for a new one."
            )
        ) from error
    rows = SignatureRequest.objects.select_related("issue__permission", "landholder", "signature")
    row = rows.filter(client_id=client_id).first()
    if row is None or row.revoked_at is not None or row.landholder.erased_on is not None:
        raise LinkError(_("The club has withdrawn this address. Please ask the club for a new one."))
    if row.expires_at <= at:
        raise LinkError(
            _("This address worked until %(row_expires_at)s. Please ask the club for a new one.")
            % {"row_expires_at": date_format(localtime(row.expires_at), "j F Y")}
        )
    return row
