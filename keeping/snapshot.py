"""One look at the database that stands still while everybody goes on working, and databases to try things in."""

from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connections, transaction
from psycopg import IsolationLevel

from keeping.kinds import Kind, applied


@contextmanager
def _extra(alias: str, settings: dict[str, Any]) -> Iterator[str]:
    """A connection of its own for as long as it is needed."""
    connections.settings[alias] = settings
    try:
        yield alias
    finally:
        if alias in connections:
            connections[alias].close()
            del connections[alias]
        connections.settings.pop(alias, None)


@contextmanager
def snapshot(alias: str = DEFAULT_DB_ALIAS) -> Iterator[str]:
    """Yield an alias under which every read sees one and the same moment; nothing can be written through it.

    SQLite: a deferred transaction, in WAL a snapshot from its first read, which holds no writer up. PostgreSQL:
    REPEATABLE READ READ ONLY, on a replica too.
    """
    settings = deepcopy(connections[alias].settings_dict)
    is_sqlite = connections[alias].vendor == "sqlite"
    options = settings["OPTIONS"]
    if is_sqlite:
        options["transaction_mode"] = "DEFERRED"
        options["init_command"] = (
            f"{options.get('init_command', '')};PRAGMA mmap_size=0;PRAGMA query_only=ON;"
        )
    else:
        options["isolation_level"] = IsolationLevel.REPEATABLE_READ
    with _extra("snapshot", settings) as name:
        if not is_sqlite:
            connections[name].ensure_connection()
            connections[name].connection.read_only = True
        with transaction.atomic(using=name):
            applied(name)  # the first read: the moment is this one
            yield name


@contextmanager
def scratch(folder: Path, kinds: dict[str, Kind]) -> Iterator[str]:
    """Yield the alias of a new SQLite database in `folder` with these tables, empty. Nothing is migrated."""
    database = {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(folder / "scratch.sqlite3"),
        "OPTIONS": {"init_command": "PRAGMA synchronous=OFF;PRAGMA journal_mode=MEMORY;"},
    }
    settings = connections.configure_settings({DEFAULT_DB_ALIAS: database})[DEFAULT_DB_ALIAS]
    with _extra("scratch", settings) as name:
        with connections[name].schema_editor() as editor:
            for kind in kinds.values():
                if not kind.model._meta.auto_created:  # made together with the model it belongs to
                    editor.create_model(kind.model)
        yield name
