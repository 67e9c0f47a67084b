"""Geometries as the formats write them: 7 decimals, outer rings counter-clockwise, parts one by one."""

import json
from typing import Any

import numpy as np
import shapely

from geo.geojson import DECIMALS

Ring = list[tuple[float, float]]


def rounded(geometry: shapely.Geometry) -> shapely.Geometry:
    """The geometry with 7 decimals and right-hand rings. Source: RFC 7946 sections 3.1.6 and 11.2."""
    flat = shapely.transform(geometry, lambda xy: np.round(xy, DECIMALS) + 0.0)
    return shapely.orient_polygons(flat, exterior_cw=False)


def as_geojson(geometry: shapely.Geometry | None) -> dict[str, Any] | None:
    """A GeoJSON geometry object, or None (a Feature's geometry may be null: RFC 7946 section 3.2)."""
    if geometry is None or geometry.is_empty:
        return None
    shape: dict[str, Any] = json.loads(shapely.to_geojson(rounded(geometry)))
    return shape


def parts_of(geometry: shapely.Geometry | None) -> list[shapely.Geometry]:
    """Points, lines and polygons of any geometry, none of them empty."""
    if geometry is None or geometry.is_empty:
        return []
    return [part for part in shapely.get_parts(rounded(geometry)) if not part.is_empty]


def line_of(part: shapely.Geometry) -> Ring:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(part)]


def rings_of(part: shapely.Polygon) -> list[Ring]:
    """The outer ring, then holes; each closed."""
    return [line_of(ring) for ring in (part.exterior, *part.interiors)]


def is_lone_point(geometry: shapely.Geometry | None) -> bool:
    return geometry is not None and geometry.geom_type == "Point" and not geometry.is_empty
