"""How tables are emptied between tests: past the triggers of the append-only ledgers, without rewriting files."""

from typing import Any

import pytest
from django.db import connection
from django.db.backends.postgresql.operations import DatabaseOperations as Postgres
from django.db.backends.sqlite3.base import DatabaseOperations as Sqlite  # not .operations: a circle

from web.append_only import guard_sql


def past_triggers(monkeypatch: pytest.MonkeyPatch) -> None:
    _past_triggers_of_sqlite(monkeypatch)
    _without_truncating(monkeypatch)


def _past_triggers_of_sqlite(monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite flushes by DELETE, which the triggers refuse: take them off around the flush, put them back after."""
    plain = Sqlite.sql_flush

    def sql_flush(self: Sqlite, style: Any, tables: list[str], **kwargs: Any) -> list[str]:
        statements = plain(self, style, tables, **kwargs)
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT DISTINCT tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%_no_update'"
            )
            guarded = [row[0] for row in cursor.fetchall()]
        off = [line for table in guarded for line in guard_sql("sqlite", table)[1]]
        on = [line for table in guarded for line in guard_sql("sqlite", table)[0]]
        return [*off, *statements, *on]

    monkeypatch.setattr(Sqlite, "sql_flush", sql_flush)


def _without_truncating(monkeypatch: pytest.MonkeyPatch) -> None:
    """PostgreSQL makes each of a hundred tables new when it truncates them; a test leaves a few rows in some.

    Only its superuser, which the tests' own server has, may put keys and triggers aside for it.
    """
    plain = Postgres.sql_flush

    def sql_flush(
        self: Postgres, style: Any, tables: list[str], *, reset_sequences: bool = False, **kwargs: Any
    ) -> list[str]:
        with self.connection.cursor() as cursor:
            cursor.execute("SELECT current_setting('is_superuser')")
            is_super = cursor.fetchone() == ("on",)
        if reset_sequences or not is_super or not tables:
            return plain(self, style, tables, reset_sequences=reset_sequences, **kwargs)
        deleting = "; ".join(f"DELETE FROM {self.quote_name(table)}" for table in tables)
        return [f"SET LOCAL session_replication_role = replica; {deleting}"]

    monkeypatch.setattr(Postgres, "sql_flush", sql_flush)
