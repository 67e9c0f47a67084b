"""Areas, buffers and overlaps of lon/lat shapes: areas on the ellipsoid, the rest in a flat grid round the
site.
"""

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import shapely
import shapely.geometry
from pyproj import Geod

from geo.errors import BoundaryError
from geo.geojson import to_geojson
from geo.local import Local
from tongue import say as _

GEOD = Geod(ellps="WGS84")
ACRE_M2 = 4046.8564224
"""The international acre: 4840 square yards of 0.9144 m."""
_QUARTER_SEGMENTS = 16
# The flat sides of a many-sided "circle" cut inside it; a hair more radius puts them outside, for safety's sake.
_OUTSIDE = 1 / math.cos(math.pi / (4 * _QUARTER_SEGMENTS))
Shape: TypeAlias = shapely.Geometry | Mapping[str, Any] | str


def to_shape(geojson: Shape) -> shapely.Geometry:
    """A shapely geometry in lon/lat from GeoJSON (a geometry, feature or collection) or from a shape already
    made.

    Raises BoundaryError if it cannot be read.
    """
    if isinstance(geojson, shapely.Geometry):
        return geojson
    try:
        obj = json.loads(geojson) if isinstance(geojson, str) else geojson
        if obj["type"] == "Feature":
            return to_shape(obj["geometry"])
        if obj["type"] == "FeatureCollection":
            return shapely.union_all([to_shape(f) for f in obj["features"]])
        return shapely.geometry.shape(obj)
    except (KeyError, TypeError, ValueError, AttributeError, shapely.errors.ShapelyError) as error:
        raise BoundaryError(
            _("The stored shape is not GeoJSON"), value=str(geojson)[:60], remedy=_("draw or import it again")
        ) from error


def area_perimeter(geometry: Shape) -> tuple[float, float]:
    """Square metres and metres on the WGS84 ellipsoid; holes count off the area and add to the perimeter.

    Source: Karney, Algorithms for geodesics (2013), as in GeographicLib and PROJ.
    """
    shape = to_shape(geometry)
    if shape.is_empty:
        return 0.0, 0.0
    oriented = shapely.orient_polygons(shape, exterior_cw=False)
    area, perimeter = GEOD.geometry_area_perimeter(oriented)
    return abs(float(area)), float(perimeter)


def area_m2(geometry: Shape) -> float:
    """Square metres on the WGS84 ellipsoid."""
    return area_perimeter(geometry)[0]


def hectares(square_m: float) -> float:
    """Hectares of 10,000 square metres."""
    return square_m / 10_000


def acres(square_m: float) -> float:
    """International acres."""
    return square_m / ACRE_M2


def buffered(geometry: Shape, metres: float) -> dict[str, Any]:
    """The ground within so many metres of a shape, as a GeoJSON MultiPolygon.

    A negative distance shrinks a polygon; nothing may be left of it. The ground is
    never narrower than asked and at most 0.13 % wider.
    """
    shape = to_shape(geometry)
    if shape.is_empty:
        return to_geojson(shape)
    local = Local.around(shape)
    return to_geojson(local.to_degrees(_widened(local.to_metres(shape), metres)))


def _widened(flat: shapely.Geometry, metres: float) -> shapely.Geometry:
    return flat.buffer(metres * _OUTSIDE if metres > 0 else metres, quad_segs=_QUARTER_SEGMENTS)


@dataclass(frozen=True)
class Overlap:
    """Ground that two shapes share: square metres, and whether it is more than the edges' own error."""

    area_m2: float
    counts: bool


def overlap_m2(a: Shape, b: Shape) -> float:
    """Square metres in both shapes."""
    return overlap(a, b).area_m2


def overlap(a: Shape, b: Shape, *, accuracy_m: float = 0.0) -> Overlap:
    """The shared ground of two shapes whose edges are known to `accuracy_m` (95 %).

    Neighbouring fields drawn by hand always overlap in slivers, so it counts only above 1 % of the smaller
    shape and above half the shared outline times the accuracy (house rule).
    """
    one, two = to_shape(a), to_shape(b)
    if one.is_empty or two.is_empty or not shapely.intersects(one, two):
        return Overlap(0.0, False)
    local = Local.around(one)
    flat_one, flat_two = local.to_metres(one), local.to_metres(two)
    shared = shapely.intersection(flat_one, flat_two)
    least = max(0.01 * min(flat_one.area, flat_two.area), shared.length / 2 * accuracy_m)
    return Overlap(float(shared.area), bool(shared.area > least))


@dataclass(frozen=True)
class Searchable:
    """What is left of a site: GeoJSON MultiPolygon, its area, and the area taken away by no-go ground."""

    geometry: dict[str, Any]
    area_m2: float
    removed_m2: float


def difference(site: Shape, no_go: Iterable[tuple[Shape, float]]) -> Searchable:
    """The site without each no-go shape (point, line or polygon) widened by its buffer in metres.

    An empty MultiPolygon of area 0 means that nothing may be searched.
    """
    ground = to_shape(site)
    local = Local.around(ground)
    flat = local.to_metres(ground)
    taken = [_widened(local.to_metres(to_shape(shape)), max(metres, 0.0)) for shape, metres in no_go]
    left = shapely.difference(flat, shapely.union_all(taken)) if taken else flat
    kept = local.to_degrees(left) if taken else ground
    area = area_m2(kept)
    return Searchable(to_geojson(kept), area, max(area_m2(ground) - area, 0.0))
