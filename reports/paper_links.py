"""The signed key in the address that opens one paper for one signer."""

from datetime import datetime

from permissions.sign_keys import key_for, open_row
from reports.models import PaperSigner

SALT = "paper-signature"
"""Of its own, so that no other key of the club signs a paper and this one opens nothing else."""


def paper_key_of(signer: PaperSigner) -> str:
    """Return the key that goes into the address."""
    return key_for(signer, SALT)


def open_signer(key: str, *, at: datetime) -> PaperSigner:
    """Return the signer behind `key`. Raises LinkError for an altered, withdrawn or expired one.

    The address of a landholder who was erased is withdrawn with them.
    """
    rows = PaperSigner.objects.select_related("paper__sheet", "paper__find", "landholder", "signature")
    return open_row(rows.filter(landholder__erased_on=None), key, SALT, at=at)
