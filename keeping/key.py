"""The club's key: a pair in the age format. The open half seals a backup, the secret half alone opens it.

Source: age-encryption.org/v1 (C2SP), X25519 recipients. A server that holds only the open half cannot read the
backups it has made, so whoever steals it gains none of them.
"""

import os
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from django.utils.translation import gettext as _
from pyrage import IdentityError, RecipientError, x25519

from keeping.errors import KeepingError

PREFIX = "AGE-SECRET-KEY-"


def make_key(path: Path, *, at: datetime) -> str:
    """Write a new secret key to `path`, for its owner's eyes only, and return the open half.

    Raises KeepingError where something is there already: a key that is written over opens nothing any more.
    """
    secret = x25519.Identity.generate()
    words = f"# made: {at:%Y-%m-%dT%H:%M:%SZ}\n# public key: {secret.to_public()}\n{secret}\n"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError as error:
        raise KeepingError(
            _("%(path)s is there already. Give another name: no key is ever written over.") % {"path": path}
        ) from error
    except OSError as error:
        raise KeepingError(
            _("%(path)s cannot be written: %(error_strerror)s.")
            % {"path": path, "error_strerror": error.strerror}
        ) from error
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(words)
    return str(secret.to_public())


def read_keys(path: Path) -> list[x25519.Identity]:
    """Return the secret keys that a file holds. Raises KeepingError, which never repeats what stood in the file."""
    try:
        lines = path.read_text(encoding="ascii").split()
    except (OSError, UnicodeDecodeError) as error:
        raise KeepingError(
            _("The key file %(path)s cannot be read. Give the file that backup_key made.") % {"path": path}
        ) from error
    try:
        keys = [x25519.Identity.from_str(line) for line in lines if line.startswith(PREFIX)]
    except IdentityError as error:
        raise KeepingError(
            _("The key in %(path)s is damaged. Use another copy of it.") % {"path": path}
        ) from error
    if not keys:
        raise KeepingError(
            _("%(path)s holds no secret key, which begins with %(prefix)s1.")
            % {"path": path, "prefix": PREFIX}
        )
    return keys


def read_recipients(texts: Iterable[str]) -> list[x25519.Recipient]:
    """Return the open keys to seal for. Raises KeepingError for none at all, and naming one that is none."""
    found = []
    for text in texts:
        if text.strip().upper().startswith(PREFIX):
            raise KeepingError(_("That is a secret key. Give the open half, which begins with age1."))
        try:
            found.append(x25519.Recipient.from_str(text.strip()))
        except RecipientError as error:
            raise KeepingError(
                _("“%(text)s” is no open key; it begins with age1 and has 62 characters.") % {"text": text}
            ) from error
    if not found:
        raise KeepingError(
            _(
                "No key to seal the backup with. Make one with manage.py backup_key, and set BACKUP_KEYS to its "
                "open half."
            )
        )
    return found
