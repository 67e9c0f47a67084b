"""A sheet's rows by the fields that somebody gave its columns, and what the dates and names in them ask."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from django.utils.translation import gettext as _

from web.csv_safe import plain_text
from web.tables.fields import Field
from web.tables.guess import plain
from web.tables.rows import Problem, Row
from web.tables.spreadsheet import Sheet, cell_name
from web.tables.values import is_ambiguous_date

ERRORS = {"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A", "#SPILL!", "#CALC!"}
_LAST_FIRST = re.compile(r"[^,]+,[^,]+")


@dataclass(frozen=True)
class TheirColumn:
    """One column as it came: its place from 0, its header, and three values of it."""

    number: int
    header: str
    samples: tuple[str, ...]


def columns_of(sheet: Sheet, header: int) -> list[TheirColumn]:
    """The columns under the header line, as far as any row reaches; those that hold nothing at all are left out."""
    head = next((cells for line, cells in sheet.lines if line == header), [])
    below = [cells for line, cells in sheet.lines if line > header]
    width = max(map(len, [head, *below]), default=0)
    found = []
    for number in range(width):
        values = (cells[number].strip() for cells in below if number < len(cells))
        samples = tuple(v for v, _n in zip(dict.fromkeys(filter(None, values)), range(3), strict=False))
        name = plain_text(head[number]).strip() if number < len(head) else ""
        if name or samples:
            found.append(TheirColumn(number, name, samples))
    return found


def header_digest(columns: Sequence[TheirColumn]) -> str:
    """What the same set of columns is known by next time, whatever its order of rows."""
    return sha256("\n".join(plain(column.header) for column in columns).encode()).hexdigest()


@dataclass(frozen=True)
class Matched:
    """The rows by field, and the cells that hold nothing that can be read."""

    rows: list[Row]
    problems: list[Problem]
    headers: Mapping[str, str]  # by field: what the columns are called in the file


def match_rows(sheet: Sheet, header: int, chosen: Mapping[int, str], fields: Mapping[str, Field]) -> Matched:
    """Every row under the header. `chosen` gives a field for a column's number; columns without one are left out."""
    rows: list[Row] = []
    problems: list[Problem] = []
    names = _names(sheet, header, chosen)
    for line, cells in sheet.lines:
        if line <= header:
            continue
        parts: dict[str, list[str]] = {}
        for column, text in _filled(cells, sorted(chosen)):
            if words := _unreadable(sheet, line, column, text):
                problems.append(Problem(line, names[chosen[column]], text[:80], words))
            elif text:
                parts.setdefault(chosen[column], []).append(plain_text(text).strip())
        joined = {key: (fields[key].joined or " ").join(texts) for key, texts in parts.items() if texts}
        if joined:
            rows.append(Row(line, joined))
    return Matched(rows, problems, names)


def _names(sheet: Sheet, header: int, chosen: Mapping[int, str]) -> dict[str, str]:
    found: dict[str, list[str]] = {}
    for column in columns_of(sheet, header):
        if key := chosen.get(column.number):
            found.setdefault(key, []).append(column.header or key)
    return {key: ", ".join(names) for key, names in found.items()} | {
        key: key for key in chosen.values() if key not in found
    }


def _filled(cells: Sequence[str], columns: Sequence[int]) -> Iterator[tuple[int, str]]:
    for column in columns:
        yield column, cells[column].strip() if column < len(cells) else ""


def _unreadable(sheet: Sheet, line: int, column: int, text: str) -> str:
    if (line, column) in sheet.unread:
        return _(
            "%(cell)s holds a formula whose result is not in the file; open it in the spreadsheet program, save it, "
            "and send it again."
        ) % {"cell": cell_name(line, column)}
    if text.upper() in ERRORS:
        return _("“%(text)s” is an error of the spreadsheet; mend the cell or empty it.") % {"text": text}
    return ""


def ambiguous_day(rows: Sequence[Row], fields: Mapping[str, Field]) -> str:
    """A date that means two days as it stands, or nothing."""
    dates = [key for key, field in fields.items() if field.is_date]
    texts = (row.cells[key] for row in rows for key in dates if key in row.cells)
    return next((text for text in texts if is_ambiguous_date(text)), "")


def name_with_comma(rows: Sequence[Row], key: str) -> str:
    """A name written as “Samphire, Mo”, or nothing."""
    return next((text for row in rows if _LAST_FIRST.fullmatch(text := row.cells.get(key, ""))), "")


def turned_name(text: str) -> str:
    """“Vries, Jan de” as it is said: Jan de Vries. A name without one comma stays."""
    last, comma, first = text.partition(",")
    if not comma or "," in first or not first.strip() or not last.strip():
        return text
    return f"{first.strip()} {last.strip()}"
