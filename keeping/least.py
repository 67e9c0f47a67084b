"""What the account that serves the site may do in PostgreSQL: whoever takes over a server cannot rewrite the past.

One account owns the tables and migrates them; the site runs as another, which reads and writes rows. Of ledgers it
may write new ones only, and since it owns nothing it can neither drop a table nor take a guard off. SQLite knows no
accounts: its file belongs to a user of the machine. Source: PostgreSQL, “GRANT” and “Privileges” (ownership brings
the right to drop, and to disable triggers); OWASP ASVS 5.0.0, 13.2.2.
"""

from collections.abc import Iterator

from django.apps import apps
from django.db import connection
from django.db.backends.utils import CursorWrapper
from django.utils.translation import gettext as _

from keeping.errors import KeepingError
from web.append_only import AppendOnlyModel

READ_ONLY = frozenset({"django_migrations"})
TOO_MUCH = (
    "SELECT rolsuper OR rolcreaterole OR rolcreatedb OR rolreplication OR rolbypassrls, "
    "pg_has_role(rolname, current_user, 'MEMBER') FROM pg_roles WHERE rolname = %s"
)
MAY_REWRITE = "SELECT has_table_privilege(current_user, %s, 'UPDATE')"


def ledgers() -> frozenset[str]:
    """The tables in which a row stays as it was written."""
    return frozenset(
        str(model._meta.db_table) for model in apps.get_models() if issubclass(model, AppendOnlyModel)
    )


def grant_least(role: str) -> int:
    """Give `role` what the site needs on every table that is there, and take from it what it has beyond that.

    Returns the number of tables. To be run by the owner after each migration: a table that is new has no grants yet.
    Raises KeepingError where it is no PostgreSQL, where there is no such role, or where it can do all this anyway.
    """
    if connection.vendor != "postgresql":
        raise KeepingError(
            _("This is SQLite, which knows no accounts: its file belongs to a user of the machine.")
        )
    with connection.cursor() as cursor:
        _refuse_the_mighty(cursor, role)
        tables = sorted(connection.introspection.table_names(cursor))
        for statement in _statements(cursor, tables, connection.ops.quote_name(role)):
            cursor.execute(statement)
    return len(tables)


def _refuse_the_mighty(cursor: CursorWrapper, role: str) -> None:
    cursor.execute(TOO_MUCH, [role])
    found = cursor.fetchone()
    if found is None:
        raise KeepingError(
            _("There is no account “%(role)s”. Make it first: CREATE ROLE %(role)s LOGIN;") % {"role": role}
        )
    if any(found):
        raise KeepingError(
            _(
                "“%(role)s” owns the tables or may make itself their owner, so nothing can be kept from it. Make "
                "another account for the site (CREATE ROLE … LOGIN;) and leave this one to migrations."
            )
            % {"role": role}
        )


def _statements(cursor: CursorWrapper, tables: list[str], role: str) -> Iterator[str]:
    """Everything is taken back first, so that what an earlier release needed does not stay."""
    cursor.execute("SELECT current_schema(), current_database()")
    schema, database = map(connection.ops.quote_name, cursor.fetchone())
    yield f"REVOKE ALL ON ALL TABLES IN SCHEMA {schema} FROM {role}, PUBLIC"
    yield f"REVOKE ALL ON ALL SEQUENCES IN SCHEMA {schema} FROM {role}, PUBLIC"
    yield f"REVOKE CREATE ON SCHEMA {schema} FROM {role}, PUBLIC"
    yield f"REVOKE ALL ON DATABASE {database} FROM {role}, PUBLIC"
    yield f"GRANT CONNECT ON DATABASE {database} TO {role}"
    yield f"GRANT USAGE ON SCHEMA {schema} TO {role}"
    yield f"GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA {schema} TO {role}"
    kept = ledgers()
    for table in tables:
        rights = "SELECT, INSERT, UPDATE, DELETE"
        if table in READ_ONLY:
            rights = "SELECT"
        elif table in kept:
            rights = "SELECT, INSERT"
        yield f"GRANT {rights} ON {connection.ops.quote_name(table)} TO {role}"


def may_rewrite_ledgers() -> bool:
    """May the account that is connected change what is kept as written? On SQLite there is none to ask about."""
    if connection.vendor != "postgresql":
        return False
    with connection.cursor() as cursor:
        cursor.execute(MAY_REWRITE, [connection.ops.quote_name(min(ledgers()))])
        return bool(cursor.fetchone()[0])
