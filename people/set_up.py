"""A club that begins: is there anybody yet, and the key that lets the first person in. Nothing is stored for it."""

import secrets
from datetime import UTC, datetime, timedelta

from django.core import signing
from django.utils.translation import gettext_lazy as _lazy

from people.models import User

SALT = "set-up"
LASTS = timedelta(hours=24)
CLOSED = _lazy(
    "This address opens nothing: it was not copied whole, is older than a day, or the club has its first account "
    "already. Who has an account signs in; whoever runs the server prints a new address with manage.py set_up_link."
)
"""One answer for all of these, so that trying addresses tells nobody whether the club is still to be had."""


class SetUpKeyError(Exception):
    """The address does not begin a club; the sentence says what to do."""


def is_fresh() -> bool:
    """Has nobody an account yet?"""
    return not User.objects.exists()


def new_key(*, at: datetime) -> str:
    """A key for the first person, good for a day and for as long as nobody has an account: its use ends it."""
    return signing.Signer(salt=SALT).sign(f"{secrets.token_urlsafe(12)}.{int((at + LASTS).timestamp())}")


def check_key(key: str, *, at: datetime) -> None:
    """Raises SetUpKeyError for a key that is not of this server's making, is too old, or comes too late."""
    try:
        until = int(signing.Signer(salt=SALT).unsign(key).rpartition(".")[2])
    except (signing.BadSignature, ValueError) as error:
        raise SetUpKeyError(CLOSED) from error
    if datetime.fromtimestamp(until, UTC) < at or not is_fresh():
        raise SetUpKeyError(CLOSED)
