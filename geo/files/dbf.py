"""The .dbf part of a shapefile: attributes in the order of the shapes. Source: dBASE III file layout."""

import codecs
import re
from dataclasses import dataclass
from datetime import date

from geo.files.model import MAX_PROPERTIES, FileError, Properties, clean_properties
from tongue import noop
from tongue import say as _

_REMEDY = noop("export the shapefile again and zip all of its parts")
_CODE_PAGES = {0x01: "cp437", 0x02: "cp850", 0x03: "cp1252", 0x57: "cp1252", 0x58: "cp1252", 0x59: "cp1252"}
_PAGE = re.compile(r"utf-?8|\d{3,6}|cp\d+|windows-\d+|iso-?8859-?\d+|latin-?\d")
Value = str | int | float | bool | None


@dataclass(frozen=True)
class _Field:
    """Name, type letter, and where in the row it stands."""

    name: str
    kind: str
    start: int
    end: int


class Table:
    """Rows on demand, so that a large table costs nothing but its bytes."""

    def __init__(self, data: bytes, encoding: str | None) -> None:
        """`encoding` is what the .cpg file says. Raises FileError for lengths that cannot be."""
        if len(data) < 33:
            raise FileError(_("The .dbf file is too short"), value=len(data), remedy=_(_REMEDY))
        self._data = data
        self._count = int.from_bytes(data[4:8], "little")
        self._first = int.from_bytes(data[8:10], "little")
        self._size = int.from_bytes(data[10:12], "little")
        self._encoding = _known(encoding) or _CODE_PAGES.get(data[29])
        if self._size < 1 or not 33 <= self._first <= len(data):
            raise FileError(
                _("The .dbf file says its rows are %(size)s bytes from byte %(first)s")
                % {"size": self._size, "first": self._first},
                value=(self._first, self._size),
                remedy=_(_REMEDY),
            )
        self._fields = self._read_fields()

    def __len__(self) -> int:
        return min(self._count, (len(self._data) - self._first) // self._size)

    def row(self, index: int) -> Properties | None:
        """Attributes of one shape; None if the row was deleted."""
        start = self._first + index * self._size
        row = self._data[start : start + self._size]
        if row[:1] == b"*":
            return None
        return clean_properties({f.name: self._value(f, row[f.start : f.end]) for f in self._fields})

    def _read_fields(self) -> list[_Field]:
        fields: list[_Field] = []
        at = 1
        for offset in range(32, self._first - 31, 32):
            block = self._data[offset : offset + 32]
            if block[:1] == b"\r":
                break
            end = at + block[16]
            if end > self._size:
                raise FileError(
                    _("The .dbf file has fields beyond its %(size)s bytes a row") % {"size": self._size},
                    value=end,
                    remedy=_(_REMEDY),
                )
            name = self._text(block[:11].split(b"\x00")[0])
            fields.append(
                _Field(name or _("field %(fields)s") % {"fields": len(fields) + 1}, chr(block[11]), at, end)
            )
            at = end
        return fields[:MAX_PROPERTIES]

    def _value(self, field: _Field, raw: bytes) -> Value:
        text = self._text(raw.strip(b"\x00 "))
        if field.kind in "NF":
            return _number(text)
        if field.kind == "L":
            return {"T": True, "Y": True, "F": False, "N": False}.get(text[:1].upper())
        if field.kind == "D":
            return _day(text)
        return text

    def _text(self, raw: bytes) -> str:
        for encoding in (self._encoding, "utf-8"):
            if encoding:
                try:
                    return raw.decode(encoding)
                except UnicodeDecodeError:
                    continue
        return raw.decode("cp1252", "replace")


def _known(name: str | None) -> str | None:
    """A codec by the name in a .cpg file ("UTF-8", "1252", "ANSI 1252", "ISO-8859-1", "88591"); None if none
    is.
    """
    said = (name or "").strip().lower().removeprefix("ansi ").replace(" ", "-")
    if not _PAGE.fullmatch(said):
        return None
    spelling = f"iso8859-{said[4:]}" if said.startswith("8859") else f"cp{said}" if said.isdigit() else said
    try:
        return codecs.lookup(spelling).name
    except LookupError:
        return None


def _number(text: str) -> Value:
    try:
        return int(text)
    except ValueError:
        pass
    try:
        value = float(text)
    except ValueError:
        return None
    return value if abs(value) < 1e300 else None


def _day(text: str) -> str | None:
    try:
        return date(int(text[:4]), int(text[4:6]), int(text[6:8])).isoformat()
    except ValueError:
        return None
