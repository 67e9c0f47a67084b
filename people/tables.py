"""A table on its way in, read as its sender said: its sheet, its columns, its rows."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from people.models import ColumnMemory, TableDraft
from web.tables.fields import Field, by_key
from web.tables.guess import Guesser
from web.tables.match import Matched, TheirColumn, columns_of, header_digest, match_rows, turned_name
from web.tables.rows import Row
from web.tables.source import Source, read_source
from web.tables.spreadsheet import Sheet

LAST_FIRST = "last_first"


@dataclass
class DraftTable:
    """One draft and the fields of its kind. Reading raises TableError."""

    draft: TableDraft
    fields: tuple[Field, ...]

    @cached_property
    def guesser(self) -> Guesser:
        return Guesser(self.fields)

    @cached_property
    def source(self) -> Source:
        draft = self.draft
        return read_source(bytes(draft.raw), self.guesser, encoding=draft.encoding, sheet=draft.sheet)

    @cached_property
    def header(self) -> tuple[int, bool]:
        """The header's line, and whether that was said or is sure by its words."""
        if self.draft.header_line:
            return self.draft.header_line, True
        return self.guesser.header_line(self.sheet.lines)

    @property
    def sheet(self) -> Sheet:
        return self.source.sheets[0]

    @property
    def needs_rows_chosen(self) -> bool:
        """Is a sheet or a header line still to be chosen by a person?"""
        return self.source.sheet is None or not self.header[1]

    @cached_property
    def columns(self) -> list[TheirColumn]:
        return columns_of(self.sheet, self.header[0])

    @cached_property
    def digest(self) -> str:
        return header_digest(self.columns)

    @cached_property
    def memory(self) -> ColumnMemory | None:
        """How the same columns were understood the last time."""
        return ColumnMemory.objects.filter(kind=self.draft.kind, digest=self.digest).first()

    def suggestion(self) -> dict[int, str]:
        """A field for each column: what was confirmed for this file, or the last time, or else a guess by words."""
        kept = self.draft.columns or (self.memory.columns if self.memory else {})
        if kept:
            known = by_key(self.fields)
            return {int(number): key for number, key in kept.items() if key in known}
        guessed = self.guesser.guess([column.header for column in self.columns])
        return {column.number: key for column, key in zip(self.columns, guessed, strict=True) if key}

    def matched(self, chosen: dict[int, str] | None = None) -> Matched:
        """The rows by field, as `chosen` or as the draft keeps it."""
        kept = {int(number): key for number, key in self.draft.columns.items()} if chosen is None else chosen
        return match_rows(self.sheet, self.header[0], kept, by_key(self.fields))

    @property
    def answers(self) -> dict[str, Any]:
        return dict(self.draft.answers)


def whole_name(row: Row, order: str) -> str:
    """The name of a row, from one column or from its parts, in the order in which it is said."""
    cells = row.cells
    if name := " ".join(cells.get("name", "").split()):
        return turned_name(name) if order == LAST_FIRST else name
    return joined(cells.get(part, "") for part in ("first_name", "infix", "last_name"))


def joined(parts: Iterable[str]) -> str:
    return " ".join(" ".join(parts).split())
