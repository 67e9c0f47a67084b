"""Cells that a spreadsheet reads as text and not as a formula, and how to undo it.

Source: OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return are run as formulas, also in
their full-width forms and where a field separator or a quote in the text begins a new cell; its remedy is an
apostrophe before the text, with every cell in quotes and quotes doubled. The file's own separator is kept harmless
by the quotes; the others (a reader set to semicolons, say) are guarded here.
"""

import csv
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

_RISK = r"=+\-@＝＋－＠"
# At the start, after spaces; or after what another program may take for a new cell or a new row.
_AT_START = re.compile(rf"(\A *)('*)(?=[{_RISK}\t\r\n])")
_INSIDE = re.compile(rf"(?<=[;|\t\r\n\"])( *)('*)(?=[{_RISK}])")
_AT_START_ESCAPED = re.compile(rf"(\A *)'('*)(?=[{_RISK}\t\r\n])")
_INSIDE_ESCAPED = re.compile(rf"(?<=[;|\t\r\n\"])( *)'('*)(?=[{_RISK}])")

Cell = str | int | float | Decimal | None


def safe_text(text: str) -> str:
    """`text` with an apostrophe wherever a spreadsheet would begin a formula; `plain_text` takes it off again."""
    return _INSIDE.sub(r"\1'\2", _AT_START.sub(r"\1'\2", text))


def plain_text(cell: str) -> str:
    """The text that `safe_text` was given; a cell that never went through it comes back unless it looks guarded."""
    return _INSIDE_ESCAPED.sub(r"\1\2", _AT_START_ESCAPED.sub(r"\1\2", cell))


def safe_cell(value: Cell) -> str | int | float | Decimal:
    """Text made safe; what is a number in the program stays a number, minus sign and all."""
    if value is None:
        return ""
    if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        return value
    return safe_text(str(value))


class _Echo:
    """A file for csv.writer that gives back each line instead of keeping it."""

    def write(self, line: str) -> str:
        return line


def csv_lines(header: Iterable[str], rows: Iterable[Iterable[Cell]]) -> Iterator[str]:
    """The lines of a CSV file (RFC 4180: commas, CRLF), one at a time; text in quotes, numbers bare.

    The first line begins with a byte order mark, by which spreadsheets know UTF-8.
    """
    writer = csv.writer(_Echo(), quoting=csv.QUOTE_NONNUMERIC)
    yield "\ufeff" + str(writer.writerow([safe_cell(name) for name in header]))
    for row in rows:
        yield str(writer.writerow([safe_cell(cell) for cell in row]))
