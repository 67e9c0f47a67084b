"""The signed key in an invitation's address, and the invitation it opens."""

from datetime import datetime
from uuid import UUID

from django.core import signing
from django.utils.translation import gettext_lazy as _lazy

from people.models import Invitation

SALT = "invitation"
NO_INVITATION = UUID(int=0)
CLOSED = _lazy(
    "This address opens nothing: it was not copied whole, was used already, has run out, or a newer one was sent. "
    "Open the newest message from the club, or ask the club's secretary for another invitation."
)
"""One answer for all of these, so that trying addresses tells nobody who was invited."""


class InvitationKeyError(Exception):
    """The address does not open an invitation; the sentence says what to do."""


def key_of(invitation: Invitation) -> str:
    """The key that goes into the address: signed for this purpose only."""
    return signing.Signer(salt=SALT).sign(invitation.nonce.hex)


def open_invitation(key: str, *, at: datetime) -> Invitation:
    """The live invitation behind `key`. Raises InvitationKeyError; an altered key costs the same look."""
    try:
        nonce = UUID(signing.Signer(salt=SALT).unsign(key))
    except (signing.BadSignature, ValueError):
        nonce = NO_INVITATION
    found = Invitation.objects.live(at).select_related("user").filter(nonce=nonce).first()
    if found is None:
        raise InvitationKeyError(CLOSED)
    return found


def made_by_form(client_id: str) -> Invitation | None:
    """The invitation that this very form made already: it was sent twice."""
    try:
        return Invitation.objects.filter(client_id=UUID(client_id)).first()
    except ValueError:
        return None
