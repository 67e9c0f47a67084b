"""Numbers that a table has given: kept in a backup, so that the number of a row deleted last is not given again.

Each database counts in a place of its own (`sqlite_sequence`, and a sequence of PostgreSQL), which no model shows.
"""

from collections.abc import Iterable
from typing import Any

from django.core.management.color import no_style
from django.db import connections, models
from django.utils.translation import gettext as _

from keeping.errors import KeepingError
from keeping.kinds import Kind

SQLITE_GIVEN = "SELECT name, seq FROM sqlite_sequence"
SQLITE_FORGET = "DELETE FROM sqlite_sequence WHERE name = %s"  # the table allows no conflict clause
SQLITE_GO_ON = "INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)"
POSTGRES_SEQUENCE = "SELECT pg_get_serial_sequence(%s, %s)"
POSTGRES_GO_ON = "SELECT setval(pg_get_serial_sequence(%s, %s), %s)"
LARGEST = 2**63 - 1


def numbers_given(kinds: Iterable[Kind], alias: str) -> dict[str, int]:
    """The last number that each table has given, by label; tables that gave none are left out."""
    connection, found = connections[alias], {}
    numbered = [kind for kind in kinds if _is_numbered(kind)]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(SQLITE_GIVEN)
            given = dict(cursor.fetchall())
            found = {kind.label: given.get(_table(kind), 0) for kind in numbered}
        else:
            found = {kind.label: _postgres_given(cursor, kind) for kind in numbered}
    return {label: number for label, number in found.items() if number}


def _postgres_given(cursor: Any, kind: Kind) -> int:
    cursor.execute(POSTGRES_SEQUENCE, [_quoted(kind), _column(kind)])
    sequence = cursor.fetchone()[0]
    cursor.execute(f"SELECT CASE WHEN is_called THEN last_value ELSE 0 END FROM {sequence}")  # noqa: S608 - its own name
    return int(cursor.fetchone()[0])


def go_on_numbering(kinds: Iterable[Kind], alias: str, told: dict[str, Any]) -> None:
    """New rows get a number behind every one that is there and every one in `told`. Raises KeepingError."""
    connection, numbered = connections[alias], [kind for kind in kinds if _is_numbered(kind)]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), [kind.model for kind in numbered]):
            cursor.execute(statement)
        given = numbers_given(numbered, alias)
        for kind in numbered:
            number = _number(kind, told.get(kind.label, 0))
            if number > given.get(kind.label, 0):
                _go_on(cursor, connection.vendor, kind, number)


def _go_on(cursor: Any, vendor: str, kind: Kind, number: int) -> None:
    if vendor == "sqlite":
        cursor.execute(SQLITE_FORGET, [_table(kind)])
        cursor.execute(SQLITE_GO_ON, [_table(kind), number])
    else:
        cursor.execute(POSTGRES_GO_ON, [_quoted(kind), _column(kind), number])


def _number(kind: Kind, told: Any) -> int:
    if not isinstance(told, int) or not 0 <= told < LARGEST:
        raise KeepingError(
            _("“%(told)s” is no number that %(kind_label)s can have given.")
            % {"told": told, "kind_label": kind.label}
        )
    return told


def _is_numbered(kind: Kind) -> bool:
    return isinstance(kind.model._meta.pk, models.AutoField)


def _table(kind: Kind) -> str:
    return kind.model._meta.db_table


def _quoted(kind: Kind) -> str:
    return f'"{_table(kind)}"'


def _column(kind: Kind) -> str:
    return str(kind.model._meta.pk.column)
