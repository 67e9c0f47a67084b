"""A CSV file read into rows of text: its encoding, its separator, its columns. Nothing is guessed in silence."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from web.csv_safe import plain_text

MAX_BYTES = 10_000_000
MOST_ROWS = 3_000  # read, judged and saved in one request, so that it stays under a minute on two cores
MOST_CELL = 10_000
ENCODINGS = {
    "utf-8-sig": "UTF-8",
    "utf-16": "UTF-16",
    "cp1252": "Windows-1252 (Western Europe)",
    "cp1250": "Windows-1250 (Central Europe)",
    "mac_roman": "Macintosh Roman",
}
SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_OTHER_KINDS = {
    b"PK\x03\x04": "a spreadsheet file (or another zipped file)",
    b"\xd0\xcf\x11\xe0": "an old spreadsheet file",
    b"%PDF": "a PDF",
    b"\x1f\x8b": "a compressed file",
}
_AS_CSV = "In the spreadsheet choose “Save as”, CSV UTF-8, and send that"


class CsvError(ValueError):
    """The file as a whole cannot be taken: what is wrong, and the remedy."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what}. {remedy}.")


@dataclass(frozen=True)
class Row:
    """One row: the line on which it begins in the file, from 1 (the header's), and its text by column."""

    line: int
    cells: Mapping[str, str]


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
        return [text for text, _ in zip(dict.fromkeys(found), range(most), strict=False)]


def read_table(data: bytes, known: Mapping[str, str], *, encoding: str = "") -> Table:
    """Read a file whose columns are among `known`: a column's tidy name (see `tidy`) to the name used for it.

    `encoding` is what the sender answered; without it, UTF-8 is tried, then UTF-16 with its mark, then Windows-1252.
    Raises CsvError with the remedy.
    """
    _check_kind(data)
    text, found, sure = _decode(data, encoding)
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise CsvError(
            f"Line {line} holds a NUL character, so this is no text file or it is damaged", _AS_CSV
        )
    text, separator = _separator(text, known)
    lines = _lines(text, separator)
    columns = _columns(lines[0][1], known) if lines else ()
    if not columns:
        raise CsvError("The file is empty", "Send a file with a line of column names and a row for each find")
    return Table(found, sure, separator, tuple(c for c in columns if c), _rows(lines[1:], columns))


def tidy(name: str) -> str:
    """A column's name without case, spaces, dashes and brackets, so that “Weight (g)” is “weight g”."""
    return " ".join(re.sub(r"[\s_\-()\[\].:/*]+", " ", plain_text(name).casefold()).split())


def _check_kind(data: bytes) -> None:
    if len(data) > MAX_BYTES:
        raise CsvError(
            f"The file has {len(data) / 1e6:,.0f} MB", f"Send at most {MAX_BYTES // 1_000_000} MB at a time"
        )
    if not data.strip():
        raise CsvError("The file is empty", "Send a file with a line of column names and a row for each find")
    for start, kind in _OTHER_KINDS.items():
        if data.startswith(start):
            raise CsvError(f"This is {kind}, not a CSV file", _AS_CSV)


def _decode(data: bytes, encoding: str) -> tuple[str, str, bool]:
    if encoding:
        return _decoded(data, encoding), encoding, True
    if data.startswith(_UTF16_MARKS):
        return _decoded(data, "utf-16"), "utf-16", True
    if data[:200].count(0) > len(data[:200]) // 4:
        raise CsvError("The file is no plain text (it may be UTF-16 without its mark)", _AS_CSV)
    try:
        return data.decode("utf-8-sig"), "utf-8-sig", True
    except UnicodeDecodeError:
        return _decoded(data, "cp1252"), "cp1252", False


def _decoded(data: bytes, encoding: str) -> str:
    if encoding not in ENCODINGS:
        raise CsvError(f"“{encoding}” is no encoding that is read here", "Choose one of those offered")
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise CsvError(f"Line {line} cannot be read as {ENCODINGS[encoding]}", _AS_CSV) from error


def _separator(text: str, known: Mapping[str, str]) -> tuple[str, str]:
    """The text without a “sep=” line, and the separator under which the most column names are known."""
    told = re.match(r"\"?sep=(.)\"?\r?\n", text)
    if told and told[1] in SEPARATORS:
        return text[told.end() :], told[1]
    first = text.lstrip("\r\n")[:20_000]

    def score(separator: str) -> tuple[int, int]:
        try:
            header = next(csv.reader(io.StringIO(first, newline=""), delimiter=separator), [])
        except csv.Error:
            return 0, 0
        return sum(tidy(name) in known for name in header), len(header)

    return text, max(SEPARATORS, key=score)


def _lines(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, each with the line of the file on which it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[tuple[int, list[str]]] = []
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append((begins, cells))
            if len(found) > MOST_ROWS + 1:
                raise CsvError(
                    f"The file has more than {MOST_ROWS:,} rows",
                    "Cut it into several files and send one by one",
                )
            begins = reader.line_num + 1
    except csv.Error as error:
        raise CsvError(
            f"The row that begins on line {begins} cannot be read ({error})",
            "Look for a quotation mark that is not closed, or one inside a cell that is not doubled",
        ) from error
    return found


def _columns(header: Sequence[str], known: Mapping[str, str]) -> tuple[str, ...]:
    """The known name of each column; empty for one without a name. Raises CsvError naming what is not known."""
    names = tuple(known.get(tidy(name), "") for name in header)
    strange = [name.strip() for name, found in zip(header, names, strict=True) if name.strip() and not found]
    if strange:
        raise CsvError("; ".join(_strange(name, known) for name in strange[:5]), _rename(strange))
    twice = sorted({name for name in names if name and names.count(name) > 1})
    if twice:
        raise CsvError(f"The column “{twice[0]}” is there twice", "Keep one of the two")
    return names


def _strange(name: str, known: Mapping[str, str]) -> str:
    near = get_close_matches(tidy(name), known, n=1)
    return f"No column is called “{name[:60]}”" + (f" (do you mean “{known[near[0]]}”?)" if near else "")


def _rename(strange: Sequence[str]) -> str:
    what = "the column" if len(strange) == 1 else f"the {len(strange)} columns"
    return f"Rename {what} as the list of columns says, or take {'it' if len(strange) == 1 else 'them'} out"


def _rows(lines: Sequence[tuple[int, list[str]]], columns: Sequence[str]) -> tuple[Row, ...]:
    return tuple(_row(line, cells, columns) for line, cells in lines)


def _row(line: int, cells: Sequence[str], columns: Sequence[str]) -> Row:
    beyond = [cell for cell in cells[len(columns) :] if cell.strip()]
    if beyond:
        raise CsvError(
            f"Line {line} has {len(cells)} cells and the first line has {len(columns)} columns",
            "Put text that holds the separator into quotation marks",
        )
    named: dict[str, str] = {}
    for name, cell in zip(columns, cells, strict=False):
        if not name and cell.strip():
            raise CsvError(
                f"Line {line} has “{cell[:40]}” under no column name", "Name the column or empty it"
            )
        if len(cell) > MOST_CELL:
            raise CsvError(
                f"Line {line} has {len(cell):,} letters in one cell", "A quotation mark may be missing"
            )
        if name and cell.strip():
            named[name] = plain_text(cell).strip()
    return Row(line, named)
