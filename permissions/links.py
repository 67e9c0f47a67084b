"""The signed key in a landholder's address, and the link it opens."""

from datetime import date, datetime
from uuid import UUID

from django.core import signing
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from permissions.models import LandholderLink, SiteParty

SALT = "landholder-link"
NO_LINK = UUID(int=0)
CLOSED = _lazy(
    "This address opens nothing: it was not copied whole, or was changed on the way, or it has run out or was "
    "withdrawn. Open it from the club's message again, or ask the club for a new one."
)
"""One answer for all of these, so that trying addresses tells nobody which of them once was one."""


class LinkError(Exception):
    """The address does not open the page; the sentence says why and what to do."""


class NoLandError(LinkError):
    """The address is right, and today its landholder has a say over no land."""


def key_of(link: LandholderLink) -> str:
    """Return the key that goes into the address: the link's identifier, signed for this purpose only."""
    return signing.Signer(salt=SALT).sign(link.client_id.hex)


def open_link(key: str, *, at: datetime) -> LandholderLink:
    """Return the live link behind `key`. Raises LinkError for an altered, revoked or expired one, NoLandError besides.

    An altered key costs the same look into the table as a right one.
    """
    try:
        client_id = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError):
        client_id = NO_LINK
    link = LandholderLink.objects.select_related("landholder").filter(client_id=client_id).first()
    if link is None or link.revoked_at is not None or link.expires_at <= at:
        raise LinkError(CLOSED)
    _check_land(link, localdate(at))
    return link


def _check_land(link: LandholderLink, on: date) -> None:
    """Raise NoLandError for who sold or left all their land, who is yet to take it over, or of whom none is known."""
    parties = SiteParty.objects.filter(landholder=link.landholder)
    if parties.on(on).exists():
        return
    starts = parties.filter(since__gt=on).order_by("since").values_list("since", flat=True).first()
    if starts is not None:
        raise NoLandError(
            _("Your page opens on %(starts)s, the day from which the land is with you.")
            % {"starts": date_format(starts, "j F Y")}
        )
    if parties.exists():
        raise NoLandError(
            _(
                "By our records you no longer have a say over land where we search, so this page has closed. "
                "Thank you for "
                "having had us. The club keeps what was found and agreed in your time; what was open between us "
                "stays open. For anything about it, or if this is wrong, please speak to the club."
            )
        )
    raise NoLandError(_("The club has not written down your land yet. Please ask the club's secretary."))
