"""Spreadsheets (.xlsx, ISO/IEC 29500) read as text: no macro runs, no link is followed, nothing unpacks without end."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

import openpyxl
from django.utils.translation import gettext as _
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._reader import WorkSheetParser

from tongue import figure
from web.tables.errors import TableError
from web.tables.text import MOST_ROWS, Lines, check_size, too_many_rows

MOST_UNPACKED = 25_000_000
MOST_TIMES = 150  # a sheet of two thousand equal rows packs to a sixtieth; a bomb to a thousandth
_SMALL = 5_000_000  # below this the packing does not matter
MOST_PARTS = 1_000
MOST_COLUMNS = 120
_FIRST = 6  # rows shown of each sheet where one is to be chosen
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>]")
_MIDNIGHT = time()


@dataclass(frozen=True)
class Sheet:
    """One sheet's rows. `unread` names cells, by line and column from 0, that hold a formula without its result."""

    name: str
    lines: Lines
    unread: frozenset[tuple[int, int]] = frozenset()
    notes: tuple[str, ...] = ()


def read_sheet(data: bytes, name: str) -> Sheet:
    """The sheet so called, all of it. Raises TableError with the remedy."""
    with _opened(data) as book:
        sheet = _sheet(book, name)
        lines = list(_rows(sheet, most=MOST_ROWS + 1))
        formulas = _formulas(sheet)
    notes = _notes(sheet, formulas)
    unread = _unread(data, name, lines) if formulas else frozenset()
    return Sheet(name, lines, unread, notes)


def first_rows(data: bytes) -> list[Sheet]:
    """Every sheet that is not hidden, with its first rows."""
    with _opened(data) as book:
        return [
            Sheet(sheet.title, [row for _n, row in zip(range(_FIRST), _rows(sheet), strict=False)])
            for sheet in _visible(book)
        ]


@contextmanager
def _opened(data: bytes, *, results: bool = True) -> Iterator[Any]:
    """The workbook, read as it goes, with the `results` of formulas or the formulas themselves."""
    _check_parts(data)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # of what a sheet has besides its cells: rules, styles, print areas
            book = openpyxl.load_workbook(
                io.BytesIO(data), read_only=True, data_only=results, keep_links=False, keep_vba=False
            )
            try:
                yield book
            finally:
                book.close()
    except TableError:
        raise
    except Exception as error:  # the library raises whatever its parts do on a file that was tampered with
        raise _broken() from error


def _broken() -> TableError:
    return TableError(
        _(
            "The spreadsheet cannot be read: it is damaged, locked with a password, or holds what no spreadsheet does"
        ),
        _("Open it in the spreadsheet program, save it anew as .xlsx without a password, and send that"),
    )


def _check_parts(data: bytes) -> None:
    """The parts as the file itself lists them: unpacking stops at these sizes, so that they may be believed."""
    check_size(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            parts = packed.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError) as error:
        raise _broken() from error
    if not any(part.filename == "[Content_Types].xml" for part in parts):
        raise _other_zip(parts)
    unpacked = sum(part.file_size for part in parts)
    is_bomb = unpacked > _SMALL and unpacked > MOST_TIMES * len(data)
    if unpacked > MOST_UNPACKED or len(parts) > MOST_PARTS or is_bomb:
        raise TableError(
            _("The spreadsheet unpacks to %(size)s MB in %(parts)s parts")
            % {"size": figure(f"{unpacked / 1e6:,.0f}"), "parts": figure(f"{len(parts):,}")},
            _("Copy only the rows you need into a new one, without pictures, and send that"),
        )


def _other_zip(parts: list[zipfile.ZipInfo]) -> TableError:
    names = {part.filename for part in parts}
    if "mimetype" in names and "content.xml" in names:
        return TableError(
            _("This is an OpenDocument spreadsheet"),
            _("In the spreadsheet choose “Save as”, .xlsx or CSV UTF-8, and send that"),
        )
    return TableError(
        _("This is a zipped file and no spreadsheet"), _("Unpack it, and send the .xlsx or .csv inside")
    )


def _visible(book: Any) -> list[Any]:
    return [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]


def _sheet(book: Any, name: str) -> Any:
    for sheet in _visible(book):
        if sheet.title == name:
            return sheet
    raise TableError(_("There is no sheet “%(name)s”") % {"name": name[:60]}, _("Choose one of those listed"))


def _parsed(sheet: Any) -> Iterator[tuple[int, list[dict[str, Any]]]]:
    """The rows that are written in the file, each with its cells.

    The library's own `iter_rows` makes up every row and cell in between, a million of them where a file has one at the
    bottom of the sheet; its parser below that does not.
    """
    book = sheet.parent
    with book._archive.open(sheet._worksheet_path) as stream:
        parser = WorkSheetParser(
            stream,
            sheet._shared_strings,
            data_only=book.data_only,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        yield from parser.parse()


def _rows(sheet: Any, *, most: int | None = None) -> Iterator[tuple[int, list[str]]]:
    """Rows that hold anything, as text, no further out than one column too many."""
    found = 0
    for number, row in _parsed(sheet):
        filled = {
            cell["column"] - 1: text_of(cell["value"]) for cell in row if cell["column"] <= MOST_COLUMNS + 1
        }
        width = max((column for column, text in filled.items() if text.strip()), default=-1) + 1
        if not width:
            continue
        found += 1
        if most is not None and found > most:
            raise too_many_rows(most - 1)
        yield number, [filled.get(column, "") for column in range(width)]


def text_of(value: Any) -> str:
    """What a cell says, in a spelling that means one thing: days as 2025-04-03, figures with a point."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == _MIDNIGHT else value.isoformat(" ", "minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value).replace("\0", "\ufffd")


def _formulas(sheet: Any) -> int:
    """How many cells are formulas, counted in the sheet's own text, which the reader passes over."""
    count, rest = 0, b""
    with sheet.parent._archive.open(sheet._worksheet_path) as stream:
        while piece := stream.read(1_000_000):
            text = rest + piece
            cut = max(text.rfind(b"<"), len(text) - 16)  # a tag that goes on in the next piece waits for it
            count += len(_FORMULA.findall(text[:cut]))
            rest = text[cut:]
    return count + len(_FORMULA.findall(rest))


def _notes(sheet: Any, formulas: int) -> tuple[str, ...]:
    notes = []
    if formulas:
        notes.append(
            _("The sheet holds %(count)s formulas; what they showed when the file was last saved is read.")
            % {"count": figure(f"{formulas:,}")}
        )
    return tuple(notes)


def _unread(data: bytes, name: str, lines: Lines) -> frozenset[tuple[int, int]]:
    """Cells that hold a formula and no result: a second look, at the formulas themselves."""
    known = dict(lines)
    missing = set()
    with _opened(data, results=False) as book:
        for number, row in _parsed(_sheet(book, name)):
            cells = known.get(number, [])
            for cell in row:
                column = cell["column"] - 1
                if cell["data_type"] == "f" and not (column < len(cells) and cells[column]):
                    missing.add((number, column))
    return frozenset(missing)


def cell_name(line: int, column: int) -> str:
    """How the spreadsheet itself calls a cell: B7."""
    return f"{get_column_letter(column + 1)}{line}"
