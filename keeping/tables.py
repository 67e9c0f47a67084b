"""Rows out of a database and into an empty one, and the proof that both hold the same."""

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import islice
from typing import Any

from django.db import DatabaseError, connections, models
from django.utils.translation import gettext as _

from keeping.cells import canonical, decode, line_of
from keeping.errors import KeepingError
from keeping.kinds import Kind

Row = dict[str, Any]
A_BATCH = 500
A_BATCH_OF_LARGE_ROWS = 10
"""Rows with bytes or documents of their own (a photograph on its way, a file read in) may take megabytes each."""


def batch_of(kind: Kind) -> int:
    large = (models.BinaryField, models.JSONField)
    return A_BATCH_OF_LARGE_ROWS if any(isinstance(f, large) for f in kind.fields.values()) else A_BATCH


def read_rows(kind: Kind, alias: str) -> Iterator[Row]:
    """Every row as the database has it, a batch at a time in memory."""
    names = list(kind.fields)
    for values in kind.rows(alias).values_list(*names).iterator(chunk_size=batch_of(kind)):
        yield dict(zip(names, values, strict=True))


class Digest:
    """How many rows went by, and one hash over all they say."""

    def __init__(self, kind: Kind) -> None:
        self._fields = kind.fields
        self._hash = hashlib.sha256()
        self.rows = 0

    def add(self, row: Row) -> Row:
        self._hash.update(line_of([canonical(field, row[name]) for name, field in self._fields.items()]))
        self.rows += 1
        return row

    def told(self) -> dict[str, Any]:
        return {"rows": self.rows, "sha256": self._hash.hexdigest()}


def digest_of(kind: Kind, alias: str) -> dict[str, Any]:
    """Count and hash of a table as it stands."""
    digest = Digest(kind)
    for row in read_rows(kind, alias):
        digest.add(row)
    return digest.told()


def add_rows(kind: Kind, alias: str, rows: Iterable[Row]) -> None:
    """Put rows of encoded values in, with the keys they had. Raises KeepingError naming the table and the row."""
    waiting = iter(rows)
    while batch := list(islice(waiting, batch_of(kind))):
        made = [_instance(kind, row) for row in batch]
        try:
            kind.model._base_manager.using(alias).bulk_create(made)
        except (DatabaseError, ValueError) as error:
            first, last = batch[0].get(kind.pk), batch[-1].get(kind.pk)
            said = str(error).partition("\n")[0]  # what follows on PostgreSQL is the row itself
            raise KeepingError(
                _("Rows %(first)s to %(last)s of %(kind_label)s cannot be put in: %(said)s.")
                % {"first": first, "last": last, "kind_label": kind.label, "said": said}
            ) from error


def _instance(kind: Kind, row: Row) -> models.Model:
    if row.keys() != kind.fields.keys():
        odd = ", ".join(sorted(row.keys() ^ kind.fields.keys()))
        raise KeepingError(
            _("A row of %(kind_label)s has other columns than this program knows: %(odd)s.")
            % {"kind_label": kind.label, "odd": odd}
        )
    try:
        return kind.model(**{name: decode(field, row[name]) for name, field in kind.fields.items()})
    except (ValueError, TypeError, ArithmeticError) as error:
        raise KeepingError(
            _("Row %(get)s of %(kind_label)s cannot be read: %(error)s.")
            % {"get": row.get(kind.pk), "kind_label": kind.label, "error": error}
        ) from error


@contextmanager
def times_as_they_were(kinds: Iterable[Kind]) -> Iterator[None]:
    """Moments that the program usually writes by itself come from the rows instead."""
    fields = [
        (field, name)
        for kind in kinds
        for field in kind.fields.values()
        for name in ("auto_now", "auto_now_add")
        if getattr(field, name, False)
    ]
    for field, name in fields:
        setattr(field, name, False)
    try:
        yield
    finally:
        for field, name in fields:
            setattr(field, name, True)


def check_same(kinds: dict[str, Kind], alias: str, told: dict[str, dict[str, Any]]) -> int:
    """Compare every table with what was told of it; the number of rows. Raises KeepingError naming the table."""
    connections[alias].check_constraints()
    total = 0
    for label, kind in kinds.items():
        here = digest_of(kind, alias)
        if here["rows"] != told[label]["rows"]:
            raise KeepingError(
                _("%(label)s has %(here)s rows now, and had %(value)s.")
                % {"label": label, "here": here["rows"], "value": told[label]["rows"]}
            )
        if here["sha256"] != told[label]["sha256"]:
            raise KeepingError(
                _("The rows of %(label)s do not say what they said; their hashes differ.") % {"label": label}
            )
        total += here["rows"]
    return total
