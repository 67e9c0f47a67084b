"""Can this installation serve, and does what it sends leave: asked by machines, answered without a word of why.

What is wrong is in the log, by its name.
"""

import logging
from datetime import datetime, timedelta
from functools import cache
from typing import Any

from django.core.cache import cache as shared
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections
from django.db.migrations.recorder import MigrationRecorder

from keeping.kinds import known, targets_of
from people.models import Letter
from web.files import private_name

log = logging.getLogger("stubble.health")
STUCK = timedelta(minutes=30)
"""Letters are tried every minute."""
ASK_STORAGE_EVERY_S = 60


def cannot_serve() -> list[str]:
    """What keeps it from serving: database, migrations, storage. The first that fails hides those behind it."""
    try:
        missing = _wanted() - set(MigrationRecorder(connections[DEFAULT_DB_ALIAS]).applied_migrations())
    except DatabaseError:
        return _told(["database"])
    parts = (["migrations"] if missing else []) + ([] if _keeps_files() else ["storage"])
    return _told(parts)


def is_stuck(at: datetime) -> bool:
    """Do letters wait that should have left long ago? Nothing sends them, or the mail server was in trouble all the
    time; either way somebody has to look."""
    try:
        stuck = Letter.objects.due(at - STUCK).exists()
    except DatabaseError:
        return True
    if stuck:
        _told(["letters"])
    return stuck


@cache
def _wanted() -> frozenset[tuple[str, str]]:
    """The program does not change while it runs; what it knows is read from its folder once."""
    return frozenset(targets_of(known()))


def _keeps_files() -> bool:
    """Writes a small file and takes it away, at most once a minute for all processes that share the cache."""
    if (said := shared.get("storage-keeps-files")) is not None:
        return bool(said)
    found = _kept_one()
    shared.set("storage-keeps-files", found, ASK_STORAGE_EVERY_S)
    return found


def _kept_one() -> bool:
    name: Any = private_name("health", "txt")
    try:
        name = default_storage.save(name, ContentFile(b"ok"))
        default_storage.delete(name)
    except OSError:
        return False
    return True


def _told(parts: list[str]) -> list[str]:
    if parts:
        log.error("Not healthy: %s", ", ".join(parts))
    return parts
