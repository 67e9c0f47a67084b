"""An empty place that rows and photographs come into: a scratch one for the drill, or a new installation."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import IO, Any

from django.core.files.storage import Storage
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from keeping.errors import KeepingError
from keeping.files import check_files, names_of, put
from keeping.kinds import Kind, LoaderAt, applied, kinds, known, registry_at
from keeping.numbering import go_on_numbering, numbers_given
from keeping.tables import Row, add_rows, check_same, times_as_they_were


@dataclass
class Intake:
    """Where it goes: a database by its alias, its tables, and a storage. `files` are those that came, `numbers` the
    last that each table gave where it came from."""

    alias: str
    tables: dict[str, Kind]
    storage: Storage
    files: list[str] = field(default_factory=list)
    numbers: dict[str, Any] = field(default_factory=dict)

    def take_rows(self, label: str, rows: Iterable[Row]) -> None:
        if label not in self.tables:
            raise KeepingError(_("There is no table %(label)s in this program.") % {"label": label})
        add_rows(self.tables[label], self.alias, rows)

    def take_file(self, name: str, source: IO[bytes]) -> None:
        put(self.storage, name, source)
        self.files.append(name)

    def check(self, manifest: dict[str, Any]) -> int:
        """Compare what came with the manifest; the number of rows. Raises KeepingError."""
        if odd := sorted(self.tables.keys() ^ manifest["tables"].keys()):
            raise KeepingError(_("These tables are on one side only: %(odd)s.") % {"odd": ", ".join(odd)})
        rows = check_same(self.tables, self.alias, manifest["tables"])
        named = names_of(self.tables.values(), self.alias)
        check_files(self.storage, named, manifest["files"], list(manifest["missing"]))
        return rows


@contextmanager
def taking_in(intake: Intake) -> Iterator[Intake]:
    """All of it or nothing: one transaction, and what was stored is taken back when it fails."""
    try:
        with times_as_they_were(intake.tables.values()), transaction.atomic(using=intake.alias):
            yield intake
            go_on_numbering(intake.tables.values(), intake.alias, intake.numbers)
    except BaseException:
        for name in intake.files:
            intake.storage.delete(name)
        raise


def make_ready(schema: list[str]) -> None:
    """Bring this installation's database to `schema`. Raises KeepingError unless nothing is in it."""
    present = connection.introspection.table_names()
    for kind in kinds().values():
        if kind.model._meta.db_table in present and (rows := kind.model._base_manager.count()):
            raise KeepingError(
                _n(
                    "This installation is in use: %(kind_label)s has %(rows)s row. What is brought back "
                    "goes into an empty installation only. Set DATABASE_URL and MEDIA_ROOT to a new "
                    "place; nothing was changed.",
                    "This installation is in use: %(kind_label)s has %(rows)s rows. What is brought back "
                    "goes into an empty installation only. Set DATABASE_URL and MEDIA_ROOT to a new "
                    "place; nothing was changed.",
                    rows,
                )
                % {"kind_label": kind.label, "rows": rows}
            )
    have = applied(DEFAULT_DB_ALIAS)
    if set(have) - set(schema):
        raise KeepingError(
            _(
                "It was made at an older state of the program than this database stands at. Set DATABASE_URL to "
                "a database "
                "without tables: they are made as they were, filled, and brought up to date."
            )
        )
    if have != schema:
        executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
        executor.loader = LoaderAt(schema, connections[DEFAULT_DB_ALIAS])
        executor.migrate(executor.loader.graph.leaf_nodes())


def bring_up_to_date(schema: list[str]) -> bool:
    """After a state has come in: what the program has learnt since, and the framework's own tables, which are in no
    backup. Says whether there was anything of the first."""
    given = numbers_given(kinds(registry_at(schema)).values(), DEFAULT_DB_ALIAS)
    call_command("migrate", verbosity=0)
    with transaction.atomic():  # SQLite makes a changed table anew, and then counts from its last row
        go_on_numbering(kinds().values(), DEFAULT_DB_ALIAS, given)
    return schema != known()
