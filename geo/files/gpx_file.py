"""GPX tracks and routes as raw shapes: a path walked round a field is its boundary."""

import math
from collections.abc import Iterable
from itertools import groupby

import numpy as np
import shapely

from geo.files.model import FileError, Layer, RawShape, Tally
from geo.gpx import GpxError, Line, read_gpx
from tongue import say as _

CLOSED_SHARE = 0.4
"""Ends no farther apart than this share of the path make it a way round: a square walked on three sides is at a
third (house rule; the map shows it before anything is kept)."""


def read_gpx_boundaries(data: bytes, tally: Tally) -> Layer:
    """Tracks (segments of one track joined in order unless each closes by itself), routes, and waypoints as
    points.
    """
    limits = tally.limits
    try:
        gpx = read_gpx(data, max_bytes=limits.file_bytes, max_points=limits.points)
    except GpxError as error:
        raise FileError(error.what, value=error.value, remedy=error.remedy) from error
    tally.add_points(gpx.point_count)
    for sentence in gpx.notes:
        if "time" not in sentence:
            tally.note(sentence)
    lines = [
        line
        for _name, same in groupby(gpx.tracks, key=lambda t: t.name)
        for line in _joined(list(same), tally)
    ]
    shapes = [_raw(line, tally) for line in [*lines, *gpx.routes] if len(line.lon_lat) > 1]
    for point in gpx.waypoints:
        name = point.name or _("Shape %(number)s") % {"number": tally.shapes + 1}
        tally.add_shape()
        shapes.append(RawShape(name, shapely.Point(point.lon, point.lat), {"name": point.name}))
    return Layer("GPX", "OGC:CRS84", shapes)


def _raw(line: Line, tally: Tally) -> RawShape:
    number = tally.add_shape()
    return RawShape(
        line.name or _("Shape %(number)s") % {"number": number},
        shapely.LineString(line.lon_lat),
        {"name": line.name},
        closable=True,
    )


def _joined(segments: list[Line], tally: Tally) -> Iterable[Line]:
    """A receiver starts a new segment where it lost its fix: then they are one way round."""
    if len(segments) < 2 or all(_closes(s.lon_lat) for s in segments):
        return segments
    tally.note(_("The %(segments)s pieces of a track were joined in order.") % {"segments": len(segments)})
    first = segments[0]
    parts = ("lon_lat", "time_s", "hdop")
    lon_lat, time_s, hdop = (np.concatenate([getattr(s, part) for s in segments]) for part in parts)
    return [Line(first.name, lon_lat, time_s, hdop)]


def _closes(lon_lat: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> bool:
    """In degrees with longitude shrunk: enough to tell a way round from a way along."""
    if len(lon_lat) < 4:
        return False
    flat = lon_lat * (math.cos(math.radians(float(lon_lat[0, 1]))), 1.0)
    length = float(np.hypot(*np.diff(flat, axis=0).T).sum())
    return bool(np.hypot(*(flat[-1] - flat[0])) <= CLOSED_SHARE * length)
