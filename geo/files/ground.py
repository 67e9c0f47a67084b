"""From shapes of any kind to ground: polygons taken out of collections, walked paths closed."""

from collections.abc import Iterator

import shapely

from geo.files.gpx_file import CLOSED_SHARE
from geo.files.model import RawShape, Tally
from geo.geojson import DECIMALS
from geo.local import Local
from tongue import say as _

_JOINED_M = 1.0
_WIDEST_DEG = 180.0


def to_ground(raw: RawShape, tally: Tally) -> shapely.Geometry | None:
    """The Polygon or MultiPolygon of a lon/lat shape, as drawn (mending is geo.polygon's work).

    None if there is none; what was left out is counted, what was closed is noted.
    """
    polygons: list[shapely.Polygon] = []
    for part in parts_of(raw.shape):
        if part.is_empty:
            tally.count("empty shape")
        elif part.geom_type == "Polygon":
            polygons.append(part)
        elif part.geom_type in ("LineString", "LinearRing"):
            polygons += _closed(part, raw, tally)
        else:
            tally.count("point")
    kept = [p for p in polygons if _has_ground(p, tally)]
    if not kept:
        return None
    return kept[0] if len(kept) == 1 else shapely.MultiPolygon(kept)


def parts_of(shape: shapely.Geometry) -> Iterator[shapely.Geometry]:
    """Single shapes, however deep they lie."""
    if shape.geom_type == "GeometryCollection" or shape.geom_type.startswith("Multi"):
        if shape.is_empty:
            yield shape
        for part in shapely.get_parts(shape):
            yield from parts_of(part)
    else:
        yield shape


def _has_ground(polygon: shapely.Polygon, tally: Tally) -> bool:
    """Zero area is judged by the outline's hull, so that a line which crosses itself still gets its hearing."""
    west, _, east, _ = polygon.bounds
    if east - west > _WIDEST_DEG:
        tally.count("shape across")
        return False
    if shapely.convex_hull(polygon).area < 10.0 ** (-2 * DECIMALS):
        tally.count("shape without ground")
        return False
    return True


def _closed(line: shapely.LineString, raw: RawShape, tally: Tally) -> list[shapely.Polygon]:
    """A line whose ends meet is an outline; a recorded path is one if its ends come near."""
    coordinates = shapely.get_coordinates(line)
    if len(coordinates) < 4 and not (len(coordinates) == 3 and raw.closable):
        tally.count("line")
        return []
    flat = Local.around(line).to_metres(line)
    ends = shapely.get_coordinates(flat)[[0, -1]]
    gap = float(((ends[0] - ends[1]) ** 2).sum() ** 0.5)
    most = CLOSED_SHARE * flat.length if raw.closable else _JOINED_M
    if gap > most:
        tally.count("line")
        if raw.closable:
            tally.note(
                _("The ends of “%(name)s” are %(gap)s m apart, so it is no way round a field.")
                % {"name": raw.name, "gap": f"{gap:.0f}"}
            )
        return []
    if gap >= _JOINED_M:
        tally.note(
            _("The ends of “%(name)s” were joined over %(gap)s m.") % {"name": raw.name, "gap": f"{gap:.0f}"}
        )
    else:
        tally.note(_("The closed line “%(name)s” was read as a boundary.") % {"name": raw.name})
    return [shapely.Polygon(coordinates)]
