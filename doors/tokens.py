"""A key as it is handed over, and the one way from a key to the account that it stands for."""

import hashlib
import secrets
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext as _

from doors.models import AccessToken, Purpose
from people.models import User
from people.second_factors import lacks_second_factor

PREFIX = "sbk_"  # so that who finds one in a file or a message knows that it is a key
LONGEST_DAYS = 365
MOST_LIVE = 20


class TokenError(Exception):
    """The key opens nothing. One sentence for all reasons, so that trying keys tells nobody which was one."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "This key opens nothing: it was not copied whole, has run out or was ended, or its owner’s membership "
                "has. Make another one under Club, Keys for other programs."
            )
        )


def need_membership(person: User) -> None:
    """Raise PermissionDenied for who has no role today."""
    if not person.roles_now():
        raise PermissionDenied(_("Keys are for people with a current membership."))


def new_key() -> str:
    """256 bits from the system's source of randomness."""
    return PREFIX + secrets.token_urlsafe(32)


def digest_of(key: str) -> str:
    """What is kept of a key."""
    return hashlib.sha256(key.encode()).hexdigest()


def open_token(key: str, purpose: Purpose, *, at: datetime) -> AccessToken:
    """The live token of this purpose behind `key`, its user loaded with the rights of today. Raises TokenError.

    An account that needs a second factor and has none reaches nothing by a key either.
    """
    rows = AccessToken.objects.live(at).select_related("user")
    token = rows.filter(digest=digest_of(key), purpose=purpose).first()
    if token is None or not token.user.roles or lacks_second_factor(token.user):
        raise TokenError
    return token
