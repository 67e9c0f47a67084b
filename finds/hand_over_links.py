"""The signed key in the address through which one side of a hand-over reads and signs it."""

from datetime import datetime

from finds.models import HandOverLink
from permissions.sign_keys import key_for, open_row

SALT = "custody-signature"
"""Of its own: a key for a landholder's page or an agreement opens no hand-over, nor the other way round."""


def hand_over_key(link: HandOverLink) -> str:
    """Return the key that goes into the address."""
    return key_for(link, SALT)


def open_hand_over(key: str, *, at: datetime) -> HandOverLink:
    """Return the link behind `key`. Raises LinkError for an altered, withdrawn or expired one."""
    return open_row(HandOverLink.objects.select_related("hand_over"), key, SALT, at=at)
