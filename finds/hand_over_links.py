"""The signed key in the address through which one side of a hand-over reads and signs it."""

from datetime import datetime
from uuid import UUID

from django.core import signing
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from finds.models import HandOverLink
from permissions.links import LinkError

SALT = "custody-signature"
"""Of its own: a key for a landholder's page or an agreement opens no hand-over, nor the other way round."""


def hand_over_key(link: HandOverLink) -> str:
    """Return the key that goes into the address."""
    return signing.Signer(salt=SALT).sign(link.client_id.hex)


def open_hand_over(key: str, *, at: datetime) -> HandOverLink:
    """Return the link behind `key`. Raises LinkError for an altered, withdrawn or expired one."""
    try:
        client_id = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError) as error:
        raise LinkError(
            _(
                "This address is not complete or was changed on the way. Open it from the club's message again, "
                "or ask the club for a new one."
            )
        ) from error
    link = HandOverLink.objects.select_related("hand_over").filter(client_id=client_id).first()
    if link is None or link.revoked_at is not None:
        raise LinkError(_("The club has withdrawn this address. Please ask the club for a new one."))
    if link.expires_at <= at:
        raise LinkError(
            _("This address worked until %(link_expires_at)s. Please ask the club for a new one.")
            % {"link_expires_at": date_format(localtime(link.expires_at), "j F Y")}
        )
    return link
