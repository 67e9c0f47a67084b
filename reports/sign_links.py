"""The signed key in the address that opens one agreement for one signer."""

from datetime import datetime

from permissions.sign_keys import key_for, open_row
from reports.models import SignatureRequest

SALT = "agreement-signature"
"""Of its own, so that a key for the landholder's page never signs and a key for signing opens nothing else."""


def sign_key_of(request: SignatureRequest) -> str:
    """Return the key that goes into the address."""
    return key_for(request, SALT)


def open_request(key: str, *, at: datetime) -> SignatureRequest:
    """Return the request behind `key`. Raises LinkError for an altered, withdrawn or expired one.

    One that was signed opens until it expires too, so that the signer can read what they signed. The address of a
    landholder who was erased is withdrawn with them.
    """
    rows = SignatureRequest.objects.select_related("issue__permission", "landholder", "signature")
    return open_row(rows.filter(landholder__erased_on=None), key, SALT, at=at)
