"""Where no mail server is set up: the address of an invitation, shown once to whoever made it, to be handed over.

The session holds which invitation it was, never the signed address; the first look at the person's page takes it out
again. What somebody else sends anew is theirs to hand over: it has another nonce, and shut this one.
"""

from datetime import datetime

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from people.invitations import key_of
from people.models import Invitation, User
from people.rights import Right
from people.site import site_of

TO_NOBODY = ("console", "dummy", "filebased")
"""The e-mail backends that reach nobody."""
SESSION_KEY = "invitation_to_hand_over"


def reaches_nobody() -> bool:
    """Is no mail server set up, so that a letter ends in a log or a folder?"""
    return settings.EMAIL_BACKEND.split(".")[-2] in TO_NOBODY


def keep_to_show(request: HttpRequest, row: Invitation) -> bool:
    """Let the next look at the person's page show the address. False where letters leave: then nobody needs it."""
    if reaches_nobody():
        request.session[SESSION_KEY] = [row.user_id, row.nonce.hex]
    return reaches_nobody()


def shown_once(request: HttpRequest, person: User, *, by: User, at: datetime) -> str:
    """The address of what `by` has just invited `person` with, this once; empty otherwise."""
    kept = request.session.get(SESSION_KEY)
    if kept is None or kept[0] != person.pk or not by.holds(Right.MANAGE_PEOPLE):
        return ""
    del request.session[SESSION_KEY]
    row = Invitation.objects.live(at).filter(user=person, nonce=kept[1]).first()
    if row is None:
        return ""
    return site_of(request) + reverse("people:invited", args=[key_of(row)])
