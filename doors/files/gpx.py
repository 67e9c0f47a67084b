"""Points as waypoints, lines and outlines as tracks, for any receiver.

Source: GPX 1.1 schema: metadata, then waypoints, then tracks. A format of points, so what is known only as a square is
left out and the metadata say so: its middle would look like a findspot.
"""

import shutil
import tempfile
from collections.abc import Iterable
from typing import Any, BinaryIO

from django.utils.translation import gettext as _

from doors.files.model import Layer, Record, cell
from doors.files.shapes import line_of, parts_of, rings_of
from geo import gpx

IN_MEMORY = 2_000_000  # bytes of tracks; more waits on disk until the waypoints are written
SQUARES_LEFT_OUT = {"finds", "holes"}


def write_gpx(out: BinaryIO, layer: Layer, records: Iterable[Record]) -> None:
    words = layer.about_text()
    if layer.name in SQUARES_LEFT_OUT:
        words += "\n" + _("What you may see only as a square, or not at all, is not in this file.")
    out.write(_line(gpx.head(creator=layer.club, name=layer.title, at=layer.at, description=words)))
    with tempfile.SpooledTemporaryFile(IN_MEMORY) as tracks:
        for record in records:
            _write(record, layer, out, tracks)
        tracks.seek(0)
        shutil.copyfileobj(tracks, out)
    out.write(_line(gpx.END))


def _write(record: Record, layer: Layer, waypoints: BinaryIO, tracks: Any) -> None:
    name, words = name_of(record), description_of(record, layer)
    segments = []
    for part in parts_of(record.geometry):
        if part.geom_type == "Point":
            waypoints.write(_line(gpx.waypoint(gpx.Waypoint(part.x, part.y, name, words))))
        elif part.geom_type == "LineString":
            segments.append(line_of(part))
        elif layer.name not in SQUARES_LEFT_OUT:
            segments += rings_of(part)
    if segments:
        tracks.write(_line(gpx.track(name, segments, words)))


def _line(text: str) -> bytes:
    return f"{text}\n".encode()


def name_of(record: Record) -> str:
    """What a receiver shows: the code or number, or whose and which where that would say too little."""
    given = record.properties
    if "code" in given:
        return str(given["code"])
    number = given.get("number", given.get("person"))
    if isinstance(number, str) and "person" not in given:
        return number
    words = [given.get("hunt") or given.get("site"), number]
    return " ".join(str(word) for word in words if word is not None) or record.id


def description_of(record: Record, layer: Layer) -> str:
    """Every property that says something, a line each."""
    given = {column.title: cell(record.properties.get(column.name)) for column in layer.columns}
    given[_("Precision")] = record.precision
    return "\n".join(f"{title}: {value}" for title, value in given.items() if value not in (None, ""))
