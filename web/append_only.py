"""Rows that are written once: the instance, the queryset and the database itself refuse to change them."""

from typing import Any, NoReturn, Self, TypeVar

from django.db import models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

M = TypeVar("M", bound=models.Model)


class AppendOnlyError(Exception):
    """Somebody tried to change or delete a row that is kept for ever."""


class AppendOnlyQuerySet(models.QuerySet[M]):
    """A queryset that reads and creates, and refuses the rest."""

    def _refuse(self, what: str) -> NoReturn:
        raise AppendOnlyError(f"{self.model.__name__} rows are kept as written; {what} is not possible.")

    def update(self, **kwargs: Any) -> NoReturn:
        self._refuse("update")

    def delete(self) -> NoReturn:
        self._refuse("delete")

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        self._refuse("bulk_update")


class AppendOnlyModel(models.Model):
    """Base of ledgers: save() inserts once, delete() refuses."""

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self: Self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnlyError(
                f"{type(self).__name__} {self.pk} is kept as written; add a new row instead."
            )
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError(f"{type(self).__name__} {self.pk} is kept as written and cannot be deleted.")


def guard_sql(vendor: str, table: str) -> tuple[list[str], list[str]]:
    """Return the statements that put the triggers on `table`, and those that take them off again."""
    if vendor == "sqlite":
        put = [
            f'CREATE TRIGGER "{table}_no_{verb}" BEFORE {verb.upper()} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
            for verb in ("update", "delete")
        ]
        return put, [f'DROP TRIGGER IF EXISTS "{table}_no_{verb}"' for verb in ("update", "delete")]
    put = [
        f'CREATE OR REPLACE FUNCTION "{table}_refuse"() RETURNS trigger LANGUAGE plpgsql AS '
        f"$$ BEGIN RAISE EXCEPTION '{table} is append-only'; END $$",
        f'CREATE TRIGGER "{table}_guard" BEFORE UPDATE OR DELETE ON "{table}" '
        f'FOR EACH ROW EXECUTE FUNCTION "{table}_refuse"()',
    ]
    return put, [
        f'DROP TRIGGER IF EXISTS "{table}_guard" ON "{table}"',
        f'DROP FUNCTION IF EXISTS "{table}_refuse"()',
    ]


class GuardAppendOnly:
    """Forward and backward callables for `migrations.RunPython` that guard the named tables by trigger."""

    def __init__(self, *tables: str) -> None:
        self.tables = tables

    def forwards(self, apps: Any, editor: BaseDatabaseSchemaEditor) -> None:
        self._run(editor, 0)

    def backwards(self, apps: Any, editor: BaseDatabaseSchemaEditor) -> None:
        self._run(editor, 1)

    def _run(self, editor: BaseDatabaseSchemaEditor, which: int) -> None:
        with editor.connection.cursor() as cursor:
            for table in self.tables:
                for statement in guard_sql(editor.connection.vendor, table)[which]:
                    cursor.execute(statement)
