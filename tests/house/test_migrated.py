"""What the migrations make of an empty database is what the models say, with every ledger guarded by its trigger."""

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import connection

from web.append_only import AppendOnlyModel

ROOT = Path(__file__).resolve().parents[2]
LEDGERS = {m._meta.db_table for m in apps.get_models() if issubclass(m, AppendOnlyModel)}
NAMES = {
    "sqlite": "SELECT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%_no_update'",
    "postgresql": "SELECT event_object_table FROM information_schema.triggers WHERE trigger_name LIKE '%_guard'",
}
LOOK = """
import json, django
django.setup()
from django.core.management import call_command
from tests.house.test_migrated import tables
call_command("migrate", verbosity=0)
print(json.dumps(tables()))
"""


def tables() -> dict[str, Any]:
    """Every table with its columns and whether each may be empty, its constraints and indexes that have a name of
    their own, and which tables refuse to be changed."""
    with connection.cursor() as cursor:
        found = {
            table.name: {
                "columns": sorted(
                    [column.name, column.null_ok]
                    for column in connection.introspection.get_table_description(cursor, table.name)
                ),
                "named": sorted(
                    name
                    for name in connection.introspection.get_constraints(cursor, table.name)
                    if name in _own_names()
                ),
            }
            for table in connection.introspection.get_table_list(cursor)
            if table.type == "t" and table.name != "django_migrations"
        }
        cursor.execute(NAMES[connection.vendor])
        return {"tables": found, "guarded": sorted({row[0] for row in cursor.fetchall()})}


def _own_names() -> set[str]:
    return {
        row.name for model in apps.get_models() for row in [*model._meta.constraints, *model._meta.indexes]
    }


@pytest.fixture
def empty_database(db: None, tmp_path: Path) -> Iterator[str]:
    """The address of a database that holds nothing yet, of the kind that the tests run on."""
    if connection.vendor == "sqlite":
        yield f"sqlite:///{tmp_path / 'empty.sqlite3'}"
        return
    name = f"empty_{os.getpid()}"
    with connection._nodb_cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    yield re.sub(r"/[^/?]*(\?|$)", rf"/{name}\1", os.environ["DATABASE_URL"], count=1)
    with connection._nodb_cursor() as cursor:
        cursor.execute(f"DROP DATABASE {name}")


def test_migrations_make_what_the_models_say_and_guard_every_ledger(empty_database: str) -> None:
    environment = os.environ | {"DATABASE_URL": empty_database, "DJANGO_SETTINGS_MODULE": "tests.settings"}
    done = subprocess.run(
        [sys.executable, "-c", LOOK], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    migrated = json.loads(done.stdout)
    assert set(migrated["guarded"]) == LEDGERS
    here = json.loads(json.dumps(tables()))
    assert migrated["tables"].keys() == here["tables"].keys()
    for name, table in migrated["tables"].items():
        assert table == here["tables"][name], name
