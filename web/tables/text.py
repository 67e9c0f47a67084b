"""Text with separators (RFC 4180 and what spreadsheets write): its encoding and rows, and no silent guess."""

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from tongue import figure
from web.tables.errors import TableError

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
_TOLD = re.compile(r"\"?sep=(.)\"?\r?\n")
Score = Callable[[list[str]], tuple[int, int]]
Lines = list[tuple[int, list[str]]]
"""Rows that hold anything, each with the line of the file on which it begins, from 1."""


@dataclass(frozen=True)
class Decoded:
    """A file's text. `encoding` is a key of ENCODINGS; `sure` if the bytes prove it or somebody answered."""

    text: str
    encoding: str
    sure: bool


def as_csv() -> str:
    """The remedy for whatever is no text."""
    return _("In the spreadsheet choose “Save as”, CSV UTF-8, and send that")


def check_size(data: bytes) -> None:
    """Raises TableError for a file that is empty or too large."""
    if len(data) > MAX_BYTES:
        raise TableError(
            _("The file has %(size)s MB") % {"size": figure(f"{len(data) / 1e6:,.0f}")},
            _("Send at most %(most)s MB at a time") % {"most": MAX_BYTES // 1_000_000},
        )
    if not data.strip():
        raise TableError(
            _("The file is empty"), _("Send a file with a line of column names and rows below it")
        )


def decode(data: bytes, encoding: str = "") -> Decoded:
    """The text of a file: as somebody answered, or UTF-8, then UTF-16 with its mark, then Windows-1252."""
    found = _found(data, encoding)
    if "\0" in found.text:
        line = found.text[: found.text.index("\0")].count("\n") + 1
        raise TableError(
            _("Line %(line)s holds a NUL character, so this is no text file or it is damaged")
            % {"line": line},
            as_csv(),
        )
    return found


def _found(data: bytes, encoding: str) -> Decoded:
    if encoding:
        return Decoded(_decoded(data, encoding), encoding, True)
    if data.startswith(_UTF16_MARKS):
        return Decoded(_decoded(data, "utf-16"), "utf-16", True)
    if data[:200].count(0) > len(data[:200]) // 4:
        raise TableError(_("The file is no plain text (it may be UTF-16 without its mark)"), as_csv())
    try:
        return Decoded(data.decode("utf-8-sig"), "utf-8-sig", True)
    except UnicodeDecodeError:
        return Decoded(_decoded(data, "cp1252"), "cp1252", False)


def _decoded(data: bytes, encoding: str) -> str:
    if encoding not in ENCODINGS:
        raise TableError(
            _("“%(name)s” is no encoding that is read here") % {"name": encoding},
            _("Choose one of those offered"),
        )
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise TableError(
            _("Line %(line)s cannot be read as %(encoding)s")
            % {"line": line, "encoding": ENCODINGS[encoding]},
            as_csv(),
        ) from error


def part_separator(text: str, score: Score) -> tuple[str, str]:
    """The text without a “sep=” line, and the separator under which the first line scores best."""
    told = _TOLD.match(text)
    if told and told[1] in SEPARATORS:
        return text[told.end() :], told[1]
    first = text.lstrip("\r\n")[:20_000]

    def scored(separator: str) -> tuple[int, int]:
        try:
            return score(next(csv.reader(io.StringIO(first, newline=""), delimiter=separator), []))
        except csv.Error:
            return 0, 0

    return text, max(SEPARATORS, key=scored)


def lines_of(text: str, separator: str, *, most: int = MOST_ROWS) -> Lines:
    """Rows that hold anything. Raises TableError with the line that cannot be read, and past `most` and one more."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: Lines = []
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append((begins, cells))
            if len(found) > most + 1:
                raise too_many_rows(most)
            begins = reader.line_num + 1
    except csv.Error as error:
        raise TableError(
            _("The row that begins on line %(line)s cannot be read (%(why)s)")
            % {"line": begins, "why": error},
            _("Look for a quotation mark that is not closed, or one inside a cell that is not doubled"),
        ) from error
    return found


def too_many_rows(most: int) -> TableError:
    return TableError(
        _("The file has more than %(most)s rows") % {"most": figure(f"{most:,}")},
        _("Cut it into several files and send one by one"),
    )
