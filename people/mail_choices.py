"""Which optional letters an address does not want, and the signed address that stops one kind."""

import hashlib
from collections.abc import Iterable

from django.conf import settings
from django.core import signing
from django.urls import reverse
from django.utils.translation import gettext as _

from people.letter_kinds import OPTIONAL, LetterKind
from people.models import MailStop, User, account_at

SALT = "mail-stop"


class StopKeyError(Exception):
    """The address does not stop anything; the sentence says what to do."""


def address_hash(address: str) -> str:
    """The key under which a choice is kept. However the address is written it is one."""
    return hashlib.sha256(address.strip().lower().encode()).hexdigest()


def unwanted(addresses: Iterable[str]) -> set[tuple[str, str]]:
    """(hash of address, kind) of what these addresses turned off. One query."""
    rows = MailStop.objects.filter(address_sha256__in={address_hash(address) for address in addresses})
    return set(rows.values_list("address_sha256", "kind"))


def wanted_by(address: str) -> set[LetterKind]:
    """The optional kinds that this address gets. The day's list is a column of the account, as it always was."""
    off = {kind for _rest, kind in unwanted([address])}
    account = account_at(address)
    if account is not None and not account.wants_digest:
        off.add(LetterKind.DIGEST)
    return {kind for kind in OPTIONAL if kind not in off}


def stop_key(address: str, kind: LetterKind) -> str:
    """The key that turns `kind` off for `address`, and on again; it opens nothing else and never runs out."""
    return signing.dumps([address_hash(address), kind.value], salt=SALT, compress=False)


def open_stop_key(key: str) -> tuple[str, LetterKind]:
    """The hash of the address and the kind. Raises StopKeyError for a key that was altered."""
    try:
        hashed, value = signing.loads(key, salt=SALT)
        kind = LetterKind(value)
    except (signing.BadSignature, ValueError, TypeError) as error:
        raise StopKeyError(
            _(
                "This address is not complete or was changed on the way. Open it from the message again, "
                "or answer the message and ask the club to stop."
            )
        ) from error
    if kind not in OPTIONAL:
        raise StopKeyError(_("Letters of this kind are a duty of the club and cannot be turned off."))
    return str(hashed), kind


def stop_url(address: str, kind: LetterKind) -> str:
    """The whole address that stops `kind`, or nothing where the club's own address is not set."""
    if kind not in OPTIONAL or not settings.PUBLIC_URL:
        return ""
    path = reverse("people:mail_stop", args=[stop_key(address, kind)])
    return f"{settings.PUBLIC_URL.rstrip('/')}{path}"


def account_with(hashed: str) -> User | None:
    """The account whose address has this hash. Looks through the accounts: a club has hundreds, not millions."""
    found = (user for user in User.objects.iterator() if address_hash(user.email) == hashed)
    account: User | None = next(found, None)
    return account
