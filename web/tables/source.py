"""A file that somebody sent, whatever it is called: text with separators or a spreadsheet, as sheets of rows."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from tongue import figure
from web.photos import Upload, shown_name, size_words
from web.tables.errors import TableError
from web.tables.guess import Guesser
from web.tables.spreadsheet import MOST_COLUMNS, Sheet, first_rows, read_sheet
from web.tables.text import MAX_BYTES, MOST_CELL, as_csv, check_size, decode, lines_of, part_separator

_SPREADSHEET = b"PK\x03\x04"
_OTHER_KINDS = {
    b"\xd0\xcf\x11\xe0": _lazy("an old spreadsheet file (.xls), or one that is locked with a password"),
    b"%PDF": _lazy("a PDF"),
    b"\x1f\x8b": _lazy("a compressed file"),
    b"{\\rtf": _lazy("a text document"),
    b"<": _lazy("a web page or another file in tags"),
    b"\x89PNG": _lazy("a picture"),
    b"\xff\xd8\xff": _lazy("a picture"),
}


@dataclass(frozen=True)
class Letters:
    """How the letters and columns of a text file were read; a spreadsheet says that itself."""

    encoding: str
    sure: bool
    separator: str


@dataclass(frozen=True)
class Source:
    """What was read: the one sheet, or several of which one is still to be chosen (with their first rows only)."""

    sheets: list[Sheet]
    letters: Letters | None = None

    @property
    def sheet(self) -> Sheet | None:
        return self.sheets[0] if len(self.sheets) == 1 else None

    def samples(self, most: int = 6) -> list[str]:
        """Some cells with letters beyond ASCII: what shows whether the encoding is right."""
        found = (
            cell for sheet in self.sheets for _line, row in sheet.lines for cell in row if not cell.isascii()
        )
        return [text for text, _n in zip(dict.fromkeys(found), range(most), strict=False)]


def take_upload(upload: Upload) -> tuple[bytes, str]:
    """The content and the name to show. Raises TableError for a file that is too large, before it is read."""
    name = shown_name(upload.name)
    if (upload.size or 0) > MAX_BYTES:
        raise TableError(
            _("“%(name)s” has %(size)s") % {"name": name, "size": size_words(upload.size or 0)},
            _("Send at most %(most)s, without pictures") % {"most": size_words(MAX_BYTES)},
        )
    return upload.read(MAX_BYTES + 1), name


def read_source(data: bytes, guesser: Guesser, *, encoding: str = "", sheet: str = "") -> Source:
    """What the file holds; of several sheets, the one called `sheet`. Raises TableError with the remedy."""
    check_size(data)
    if data.startswith(_SPREADSHEET):
        return _spreadsheet(data, sheet)
    for start, kind in _OTHER_KINDS.items():
        if data.lstrip(b"\xef\xbb\xbf \r\n\t")[:8].startswith(start):
            raise TableError(_("This is %(kind)s, and no table that can be read") % {"kind": kind}, as_csv())
    decoded = decode(data, encoding)
    text, separator = part_separator(decoded.text, guesser.score)
    found = Sheet("", lines_of(text, separator))
    _check(found)
    return Source([found], Letters(decoded.encoding, decoded.sure, separator))


def _spreadsheet(data: bytes, name: str) -> Source:
    filled = [sheet for sheet in first_rows(data) if sheet.lines]
    if not filled:
        raise _empty()
    if not name and len(filled) > 1:
        return Source(filled)
    found = read_sheet(data, name or filled[0].name)
    _check(found)
    return Source([found])


def _empty() -> TableError:
    return TableError(_("The file is empty"), _("Send a file with a line of column names and rows below it"))


def _check(sheet: Sheet) -> None:
    """Limits of a whole sheet: something in it, not too wide, no endless cell."""
    if not sheet.lines:
        raise _empty()
    for line, cells in sheet.lines:
        if len(cells) > MOST_COLUMNS:
            raise TableError(
                _("Line %(line)s has %(count)s columns") % {"line": line, "count": figure(f"{len(cells):,}")},
                _("Keep at most %(most)s, and put text that holds the separator into quotation marks")
                % {"most": MOST_COLUMNS},
            )
        longest = max(map(len, cells), default=0)
        if longest > MOST_CELL:
            raise TableError(
                _("Line %(line)s has %(count)s letters in one cell")
                % {"line": line, "count": figure(f"{longest:,}")},
                _("A quotation mark may be missing; shorten the cell to %(most)s letters")
                % {"most": figure(f"{MOST_CELL:,}")},
            )
