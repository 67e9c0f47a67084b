"""Secrets that systemd hands over: files in a folder that this service alone can read, in memory that is not swapped.

`LoadCredentialEncrypted=stubble:/etc/stubble/secrets` makes of each file there one that is called stubble_NAME (systemd
250, systemd.exec(5), “Credentials”). What stands in a file is not in the environment, where every child and every
listing of processes would have it. A setting that is given in both ways is taken from the file.
"""

import os
from collections.abc import Mapping
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

PREFIX = "stubble_"
FOLDER = "CREDENTIALS_DIRECTORY"


def handed_over(environment: Mapping[str, str] = os.environ) -> dict[str, str]:
    """The environment, and over it each setting that has a file. Raises ImproperlyConfigured for an unreadable one."""
    found = dict(environment)
    if not (folder := found.get(FOLDER)):
        return found
    for path in sorted(Path(folder).glob(f"{PREFIX}*")):
        try:
            found[path.name.removeprefix(PREFIX)] = path.read_text(encoding="utf-8").rstrip("\r\n")
        except (OSError, UnicodeDecodeError) as error:
            raise ImproperlyConfigured(
                f"The secret {path.name} cannot be read ({type(error).__name__}). Make it again with deploy/secret."
            ) from error
    return found
