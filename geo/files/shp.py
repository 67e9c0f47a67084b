"""The .shp part of a shapefile. Source: ESRI Shapefile Technical Description (July 1998).

An own reader, because lengths in the file are not to be trusted: every one is held against the bytes that are
there before anything is made of it, and points go straight into arrays.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from geo.files.model import FileError, Tally
from geo.files.rings import polygons_from_rings
from tongue import figure, noop
from tongue import say as _

MAGIC = b"\x00\x00\x27\x0a"
_NULL, _POINT, _LINE, _POLYGON, _MULTIPOINT = 0, 1, 3, 5, 8
_REMEDY = noop("export the shapefile again and zip all of its parts")
_NAMES = {31: noop("MultiPatch (surfaces in space)")}


@dataclass(frozen=True)
class _Record:
    """One record's number and content: the shape type, then its bytes."""

    number: int
    kind: int
    content: memoryview

    def broken(self, what: str) -> FileError:
        return FileError(
            _("Record %(number)s of the shapefile %(what)s") % {"number": self.number, "what": what},
            value=self.number,
            remedy=_(_REMEDY),
        )

    def take(self, at: int, layout: str, count: int) -> np.ndarray[Any, Any]:
        """`count` numbers from byte `at`. Raises FileError if the record is shorter."""
        size = int(layout[-1]) * count
        if count < 0 or at + size > len(self.content):
            raise self.broken(
                _("says it holds more than its %(content)s bytes")
                % {"content": figure(f"{len(self.content):,}")}
            )
        return np.frombuffer(self.content[at : at + size], dtype=layout)


def read_shp(data: bytes, tally: Tally) -> Iterator[shapely.Geometry | None]:
    """One flat geometry a record, None for a null shape, in file order. Raises FileError naming the record."""
    for record in _records(data):
        yield _geometry(record, tally)


def _records(data: bytes) -> Iterator[_Record]:
    if len(data) < 100 or data[:4] != MAGIC:
        raise FileError(_("The .shp file has no shapefile header"), value=data[:4].hex(), remedy=_(_REMEDY))
    view, at, number = memoryview(data), 100, 0
    while at < len(data):
        number += 1
        if at + 8 > len(data):
            raise FileError(
                _("The .shp file breaks off before record %(number)s") % {"number": number},
                value=at,
                remedy=_(_REMEDY),
            )
        length = 2 * struct.unpack_from(">i", data, at + 4)[0]
        if length < 4 or at + 8 + length > len(data):
            left = len(data) - at - 8
            raise FileError(
                _(
                    "Record %(number)s of the shapefile says it is %(length)s bytes long, where %(left)s "
                    "are left"
                )
                % {"number": number, "length": figure(f"{length:,}"), "left": figure(f"{left:,}")},
                value=length,
                remedy=_(_REMEDY),
            )
        kind = struct.unpack_from("<i", data, at + 8)[0]
        yield _Record(number, kind, view[at + 8 : at + 8 + length])
        at += 8 + length


def _geometry(record: _Record, tally: Tally) -> shapely.Geometry | None:
    """Types 11 to 18 carry heights and measures, 21 to 28 measures; the flat part stands first in all."""
    if record.kind == _NULL:
        return None
    base = record.kind % 10 if 0 < record.kind < 30 else record.kind
    if 10 < record.kind < 20:
        tally.note(_("Heights were left out."))
    if base == _POINT:
        tally.add_points(1)
        return shapely.Point(_finite(record, record.take(4, "<f8", 2).reshape(1, 2))[0])
    if base == _MULTIPOINT:
        count = int(record.take(36, "<i4", 1)[0])
        tally.add_points(max(count, 0))
        return shapely.MultiPoint(_finite(record, record.take(40, "<f8", 2 * count).reshape(-1, 2)))
    if base in (_LINE, _POLYGON):
        rings = _parts(record, tally)
        return polygons_from_rings(rings, record.number, tally) if base == _POLYGON else _lines(rings)
    what = _(_NAMES[record.kind]) if record.kind in _NAMES else _("type %(kind)s") % {"kind": record.kind}
    raise record.broken(_("is of %(what)s, which is no outline") % {"what": what})


def _finite(record: _Record, points: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    if not (np.abs(points) < 1e12).all():
        raise record.broken(_("has a coordinate that is not a number"))
    return points


def _parts(record: _Record, tally: Tally) -> list[np.ndarray[Any, Any]]:
    part_count, point_count = (int(v) for v in record.take(36, "<i4", 2))
    if not 0 <= part_count <= max(point_count, 0):
        raise record.broken(
            _("says it has %(part_count)s parts in %(point_count)s points")
            % {"part_count": figure(f"{part_count:,}"), "point_count": figure(f"{point_count:,}")}
        )
    starts = record.take(44, "<i4", part_count)
    flat = record.take(44 + 4 * part_count, "<f8", 2 * point_count).reshape(-1, 2)
    tally.add_points(point_count)
    if part_count and (starts[0] != 0 or (np.diff(starts) < 0).any() or starts[-1] > point_count):
        raise record.broken(_("has parts that do not follow each other"))
    return np.split(_finite(record, flat), starts[1:]) if part_count else []


def _lines(parts: list[np.ndarray[Any, Any]]) -> shapely.Geometry:
    good = [part for part in parts if len(part) > 1]
    return shapely.MultiLineString(good) if len(good) != 1 else shapely.LineString(good[0])
