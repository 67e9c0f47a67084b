"""Reads polygons out of GeoJSON (RFC 7946) and writes them back, with the checks that come before any heavy
work.
"""

import json
import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geo.areas import Country, is_in
from geo.errors import BoundaryError, shown
from tongue import figure, noop
from tongue import say as _

DECIMALS = 7
"""RFC 7946 section 11.2 thinks six decimals (10 cm) enough; one more keeps rounding out of small areas."""
MAX_VERTICES = 50_000
_MAX_TEXT = 8_000_000
_MAX_DEPTH = 12
_MAX_LAT = 85.0
_WITHOUT_AREA = ("Point", "MultiPoint", "LineString", "MultiLineString")
_REMEDY = noop("give a GeoJSON Polygon or MultiPolygon in WGS84 longitude and latitude")
Ring = NDArray[np.float64]


def parse_geojson(given: Mapping[str, Any] | str | bytes) -> Mapping[str, Any]:
    """The JSON object. Raises BoundaryError for text that is too long or not a JSON object."""
    if isinstance(given, Mapping):
        return given
    if len(given) > _MAX_TEXT:
        raise BoundaryError(
            _("The boundary is %(given)s MB of text") % {"given": figure(f"{len(given) / 1000000.0:.1f}")},
            value=len(given),
            remedy=_("give less than 8 MB; simplify it or give fewer decimals"),
        )
    try:
        parsed = json.loads(given)
    except (ValueError, RecursionError) as error:
        line = (
            _(" (line %(lineno)s, column %(colno)s)") % {"lineno": error.lineno, "colno": error.colno}
            if isinstance(error, json.JSONDecodeError)
            else ""
        )
        text = given.decode("utf-8", "replace") if isinstance(given, bytes) else given
        raise BoundaryError(
            _("“%(text)s” is not JSON%(line)s") % {"text": shown(text), "line": line},
            value=shown(text),
            remedy=_("paste the whole GeoJSON file"),
        ) from error
    if not isinstance(parsed, dict):
        raise BoundaryError(_("The GeoJSON is not an object"), value=type(parsed).__name__, remedy=_(_REMEDY))
    return parsed


def polygon_coordinates(obj: Mapping[str, Any], depth: int = 0, inside: str = "") -> Iterator[Any]:
    """The coordinates of every polygon in a geometry, feature or collection.

    Points and lines in a collection are passed over as None, for exports often carry both.

    Raises BoundaryError for a lone shape that has no area, or for a `crs` member other than
    longitude/latitude WGS84 (RFC 7946 section 4 removed it).
    """
    kind = obj.get("type")
    _check_crs(obj)
    if kind == "Polygon":
        yield obj.get("coordinates")
    elif kind == "MultiPolygon":
        yield from _sequence(obj.get("coordinates"), "MultiPolygon")
    elif kind in ("Feature", "FeatureCollection", "GeometryCollection") and depth < _MAX_DEPTH:
        key = {"Feature": "geometry", "FeatureCollection": "features"}.get(kind, "geometries")
        for child in [obj.get(key)] if kind == "Feature" else _sequence(obj.get(key), kind):
            if not isinstance(child, Mapping):
                raise BoundaryError(
                    _("A %(kind)s holds no %(key)s") % {"kind": kind, "key": key},
                    value=shown(str(child)),
                    remedy=_(_REMEDY),
                )
            yield from polygon_coordinates(child, depth + 1, inside if kind == "Feature" else kind)
    elif inside and kind in _WITHOUT_AREA:
        yield None
    else:
        hint = _("close the line into a polygon") if kind in ("LineString", "MultiLineString") else _(_REMEDY)
        raise BoundaryError(
            _("A %(str)s encloses no ground") % {"str": shown(str(kind))}, value=kind, remedy=hint
        )


def _check_crs(obj: Mapping[str, Any]) -> None:
    crs = obj.get("crs")
    if crs is None:
        return
    name = str(crs.get("properties", {}).get("name", crs) if isinstance(crs, Mapping) else crs)
    if not any(known in name.upper() for known in ("CRS84", "EPSG:4326", "EPSG::4326")):
        raise BoundaryError(
            _("The file says its coordinates are in %(name)s") % {"name": shown(name)},
            value=name,
            remedy=_("export it in WGS84 (EPSG:4326)"),
        )


def _sequence(value: Any, kind: str) -> list[Any]:
    if not isinstance(value, (list, tuple)):
        raise BoundaryError(
            _("A %(kind)s has no list of parts") % {"kind": kind}, value=shown(str(value)), remedy=_(_REMEDY)
        )
    return list(value)


def rings_of(obj: Mapping[str, Any], notes: list[str]) -> list[list[list[Any]]]:
    """Polygons as lists of rings of raw positions, counted before anything is computed.

    Raises BoundaryError for more than 50,000 positions or none.
    """
    polygons = []
    total = 0
    for coordinates in polygon_coordinates(obj):
        if coordinates is None:
            _note(notes, _("Points and lines in the file were left out."))
            continue
        rings = [_sequence(ring, "ring") for ring in _sequence(coordinates, "Polygon")]
        total += sum(map(len, rings))
        if total > MAX_VERTICES:
            raise BoundaryError(
                _("The boundary has more than %(max_vertices)s points")
                % {"max_vertices": figure(f"{MAX_VERTICES:,}")},
                value=total,
                remedy=_("simplify it to a point every metre or two"),
            )
        if rings:
            polygons.append(rings)
    if not polygons:
        raise BoundaryError(_("The file holds no polygon"), value=obj.get("type"), remedy=_(_REMEDY))
    return polygons


def to_ring(positions: list[Any], country: Country | None, notes: list[str]) -> Ring:
    """One ring as an (n, 2) array of rounded degrees, closed. Notes what was mended; raises BoundaryError."""
    flat = [_position(p) for p in positions]
    if any(len(p) > 2 for p in positions):
        _note(notes, _("Heights were left out."))
    for lon, lat in flat:
        _check_degrees(lon, lat, country)
    if len(flat) > 1 and flat[0] != flat[-1]:
        _note(notes, _("An open ring was closed."))
        flat.append(flat[0])
    ring = np.round(np.asarray(flat, dtype=float).reshape(-1, 2), DECIMALS)
    if len(np.unique(ring, axis=0)) < 3:
        raise BoundaryError(
            _("A ring has only %(unique)s different points") % {"unique": len(np.unique(ring, axis=0))},
            value=flat[:4],
            remedy=_("give at least 3"),
        )
    return ring


def _note(notes: list[str], text: str) -> None:
    if text not in notes:
        notes.append(text)


def _position(position: Any) -> tuple[float, float]:
    ok = isinstance(position, (list, tuple)) and len(position) >= 2
    pair: list[Any] = list(position[:2]) if ok else []
    if not ok or not all(
        isinstance(v, (int, float)) and not isinstance(v, bool) and math.isfinite(v) for v in pair
    ):
        raise BoundaryError(
            _("%(str)s is not a position") % {"str": shown(str(position))},
            value=position,
            remedy=_("give [longitude, latitude] numbers"),
        )
    return float(pair[0]), float(pair[1])


def _check_degrees(lon: float, lat: float, country: Country | None) -> None:
    if abs(lon) > 180 or abs(lat) > 180:
        raise BoundaryError(
            _("[%(lon)s, %(lat)s] looks like metres, not degrees") % {"lon": f"{lon:g}", "lat": f"{lat:g}"},
            value=(lon, lat),
            remedy=_("export the boundary in WGS84 longitude and latitude (EPSG:4326)"),
        )
    swapped = country is not None and is_in(country, lat, lon) and not is_in(country, lon, lat)
    if abs(lat) > 90 or swapped:
        raise BoundaryError(
            _("[%(lon)s, %(lat)s] looks like latitude before longitude")
            % {"lon": f"{lon:g}", "lat": f"{lat:g}"},
            value=(lon, lat),
            remedy=_("give longitude first (RFC 7946 section 3.1.1)"),
        )
    if abs(lat) > _MAX_LAT:
        raise BoundaryError(
            _("Latitude %(lat)s is too near a pole") % {"lat": f"{lat:g}"},
            value=(lon, lat),
            remedy=_("give a boundary below latitude 85"),
        )


def to_geojson(geometry: shapely.Geometry) -> dict[str, Any]:
    """A GeoJSON MultiPolygon of the polygon parts: outer rings counter-clockwise, 7 decimals, no `crs`
    member.
    """
    polygons = [p for p in shapely.get_parts(geometry) if p.geom_type == "Polygon" and not p.is_empty]
    oriented = [shapely.orient_polygons(p, exterior_cw=False) for p in polygons]
    return {
        "type": "MultiPolygon",
        "coordinates": [[_ring_list(r) for r in (p.exterior, *p.interiors)] for p in oriented],
    }


def _ring_list(ring: shapely.LinearRing) -> list[list[float]]:
    coords = np.round(shapely.get_coordinates(ring), DECIMALS) + 0.0
    return [[float(x), float(y)] for x, y in coords]
