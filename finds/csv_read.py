"""A CSV file read into rows of text: its encoding, its separator, its columns. Nothing is guessed in silence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import partial

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext as _n

from tongue import figure
from web.csv_safe import plain_text
from web.tables.errors import TableError
from web.tables.rows import Row, tidy
from web.tables.text import MOST_CELL, as_csv, check_size, decode, lines_of, part_separator

_OTHER_KINDS = {
    b"PK\x03\x04": _lazy("a spreadsheet file (or another zipped file)"),
    b"\xd0\xcf\x11\xe0": _lazy("an old spreadsheet file"),
    b"%PDF": _lazy("a PDF"),
    b"\x1f\x8b": _lazy("a compressed file"),
}


@dataclass(frozen=True)
class Table:
    """A file's rows by the names of known columns. `encoding` is a key of ENCODINGS; `sure` if the file proves it."""

    encoding: str
    sure: bool
    separator: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def samples(self, most: int = 6) -> list[str]:
        """Some cells with letters beyond ASCII: what shows whether the encoding is right."""
        found = (cell for row in self.rows for cell in row.cells.values() if not cell.isascii())
        return [text for text, _rest in zip(dict.fromkeys(found), range(most), strict=False)]


def read_table(data: bytes, known: Mapping[str, str], *, encoding: str = "") -> Table:
    """Read a file whose columns are among `known`: a column's tidy name (see `tidy`) to the name used for it.

    `encoding` is what the sender answered; without it, UTF-8 is tried, then UTF-16 with its mark, then Windows-1252.
    Raises TableError with the remedy.
    """
    _check_kind(data)
    decoded = decode(data, encoding)
    text, separator = part_separator(decoded.text, partial(_score, known))
    lines = lines_of(text, separator)
    columns = _columns(lines[0][1], known) if lines else ()
    if not columns:
        raise TableError(
            _("The file is empty"), _("Send a file with a line of column names and a row for each find")
        )
    return Table(
        decoded.encoding, decoded.sure, separator, tuple(c for c in columns if c), _rows(lines[1:], columns)
    )


def _check_kind(data: bytes) -> None:
    check_size(data)
    for start, kind in _OTHER_KINDS.items():
        if data.startswith(start):
            raise TableError(_("This is %(kind)s, not a CSV file") % {"kind": kind}, as_csv())


def _score(known: Mapping[str, str], header: list[str]) -> tuple[int, int]:
    """How many column names are known, then how many there are."""
    return sum(tidy(name) in known for name in header), len(header)


def _columns(header: Sequence[str], known: Mapping[str, str]) -> tuple[str, ...]:
    """The known name of each column; empty for one without a name. Raises TableError naming what is not known."""
    names = tuple(known.get(tidy(name), "") for name in header)
    strange = [name.strip() for name, found in zip(header, names, strict=True) if name.strip() and not found]
    if strange:
        raise TableError("; ".join(_strange(name, known) for name in strange[:5]), _rename(strange))
    twice = sorted({name for name in names if name and names.count(name) > 1})
    if twice:
        raise TableError(
            _("The column “%(twice)s” is there twice") % {"twice": twice[0]}, _("Keep one of the two")
        )
    return names


def _strange(name: str, known: Mapping[str, str]) -> str:
    near = get_close_matches(tidy(name), known, n=1)
    return (_("No column is called “%(name)s”") % {"name": name[:60]}) + (
        _(" (do you mean “%(known)s”?)") % {"known": known[near[0]]} if near else ""
    )


def _rename(strange: Sequence[str]) -> str:
    what = _("the column") if len(strange) == 1 else _("the %(strange)s columns") % {"strange": len(strange)}
    return _n(
        "Rename %(what)s as the list of columns says, or take it out",
        "Rename %(what)s as the list of columns says, or take them out",
        len(strange),
    ) % {"what": what}


def _rows(lines: Sequence[tuple[int, list[str]]], columns: Sequence[str]) -> tuple[Row, ...]:
    return tuple(_row(line, cells, columns) for line, cells in lines)


def _row(line: int, cells: Sequence[str], columns: Sequence[str]) -> Row:
    beyond = [cell for cell in cells[len(columns) :] if cell.strip()]
    if beyond:
        raise TableError(
            _("Line %(line)s has %(cells)s cells and the first line has %(columns)s columns")
            % {"line": line, "cells": len(cells), "columns": len(columns)},
            _("Put text that holds the separator into quotation marks"),
        )
    named: dict[str, str] = {}
    for name, cell in zip(columns, cells, strict=False):
        if not name and cell.strip():
            raise TableError(
                _("Line %(line)s has “%(cell)s” under no column name") % {"line": line, "cell": cell[:40]},
                _("Name the column or empty it"),
            )
        if len(cell) > MOST_CELL:
            raise TableError(
                _("Line %(line)s has %(cell)s letters in one cell")
                % {"line": line, "cell": figure(f"{len(cell):,}")},
                _("A quotation mark may be missing"),
            )
        if name and cell.strip():
            named[name] = plain_text(cell).strip()
    return Row(line, named)
