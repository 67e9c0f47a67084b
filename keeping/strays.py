"""Files in the private store that no row names: a server that died, or a full disk, between the file and its row."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.core.files.storage import Storage, default_storage
from django.db import DEFAULT_DB_ALIAS
from django.utils.translation import gettext as _

from keeping.errors import KeepingError
from keeping.files import names_of
from keeping.kinds import kinds
from tongue import figure

OLD_ENOUGH = timedelta(days=1)
"""A file is in the store before its row is kept; no form takes a day."""
MOST = 20
"""So many may be strays however few the records are."""
WORDS = "files that no record names, left by a server that stopped or a disk that was full"


def stray_files(at: datetime, storage: Storage = default_storage) -> list[str]:
    """Names of files older than a day that no row names.

    The store is read first and the rows after it: a file that is in the store and older than a day has had its row
    by then, or never gets one. Raises KeepingError where the rows do not look like those of this store.
    """
    old = {name for name in _all(storage, "") if storage.get_modified_time(name) <= at - OLD_ENOUGH}
    if not old:
        return []
    strays = sorted(old - names_of(kinds().values(), DEFAULT_DB_ALIAS).keys())
    _check_same_club(len(strays), of=len(old))
    return strays


def _check_same_club(strays: int, *, of: int) -> None:
    """A store beside the database of another club, or an empty one, would be all strays: nobody wants that deleted."""
    named = of - strays
    if strays and (not named or strays > max(MOST, named)):
        raise KeepingError(
            _(
                "%(strays)s of %(of)s files are named by no record, which is too many to be left over. "
                "Look whether DATABASE_URL and MEDIA_ROOT belong together. No file was deleted."
            )
            % {"strays": figure(f"{strays:,}"), "of": figure(f"{of:,}")}
        )


def _all(storage: Storage, folder: str) -> Iterator[str]:
    try:
        folders, files = storage.listdir(folder)
    except FileNotFoundError:  # nothing was ever stored here
        return
    for name in files:
        yield f"{folder}{name}"
    for name in folders:
        yield from _all(storage, f"{folder}{name}/")
