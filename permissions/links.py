"""The signed key in a landholder's address, and the link it opens."""

from datetime import datetime
from uuid import UUID

from django.core import signing

from permissions.models import LandholderLink

SALT = "landholder-link"


class LinkError(Exception):
    """The address does not open the page; the sentence says why and what to do."""


def key_of(link: LandholderLink) -> str:
    """Return the key that goes into the address: the link's identifier, signed for this purpose only."""
    return signing.Signer(salt=SALT).sign(link.client_id.hex)


def open_link(key: str, *, at: datetime) -> LandholderLink:
    """Return the live link behind `key`. Raises LinkError for an altered, revoked or expired one."""
    try:
        client_id = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError) as error:
        raise LinkError(
            "This address is not complete or was changed on the way. Open it from the club's message again, "
            "or ask the club for a new one."
        ) from error
    link = LandholderLink.objects.select_related("landholder").filter(client_id=client_id).first()
    if link is None or link.revoked_at is not None:
        raise LinkError("This address was withdrawn. Please ask the club for a new one.")
    if link.expires_at <= at:
        raise LinkError(
            f"This address worked until {link.expires_at:%-d %B %Y}. Please ask the club for a new one."
        )
    return link
