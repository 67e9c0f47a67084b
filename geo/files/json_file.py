"""GeoJSON (RFC 7946, and the `crs` member of its 2008 forerunner) as raw shapes."""

import json
import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import shapely

from geo.errors import shown
from geo.files.model import FileError, Layer, RawShape, Tally, clean_properties, name_from
from geo.files.rings import is_ring
from tongue import figure, noop
from tongue import say as _

_MAX_DEPTH = 12
_REMEDY = noop("export it again as GeoJSON")
_COLLECTIONS = {"FeatureCollection": "features", "GeometryCollection": "geometries"}
_DEPTH = {"Point": 0, "MultiPoint": 1, "LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}
_FAR = 1e12
# A position with a height is one bracket and four commas; a shape adds its rings and attributes.
_BRACKETS_PER_POINT, _COMMAS_PER_POINT = 1.5, 4
_BRACKETS_PER_SHAPE, _COMMAS_PER_SHAPE = 8, 100


def read_geojson(data: bytes, tally: Tally) -> Layer:
    """Every feature with a geometry. Raises FileError for what is not GeoJSON."""
    document = _parsed(data, tally)
    kind = document.get("type")
    if kind not in (*_DEPTH, *_COLLECTIONS, "Feature"):
        raise FileError(
            _("The JSON file is of type %(str)s, not GeoJSON") % {"str": shown(str(kind))},
            value=kind,
            remedy=_(_REMEDY),
        )
    shapes = [_raw(feature, tally) for feature in _features(document, tally)]
    return Layer("GeoJSON", _crs_member(document), shapes)


def _parsed(data: bytes, tally: Tally) -> dict[str, Any]:
    """The JSON object. Brackets and commas are counted first: they are what memory is made of."""
    brackets = data.count(b"[") + data.count(b"{")
    most, shapes = tally.limits.points, tally.limits.shapes
    most_brackets = _BRACKETS_PER_POINT * most + _BRACKETS_PER_SHAPE * shapes
    most_commas = _COMMAS_PER_POINT * most + _COMMAS_PER_SHAPE * shapes
    if brackets > most_brackets or data.count(b",") > most_commas:
        raise FileError(
            _("The file has %(brackets)s lists and %(count)s commas, more than %(most)s points need")
            % {
                "brackets": figure(f"{brackets:,}"),
                "count": figure(f"{data.count(b','):,}"),
                "most": figure(f"{most:,}"),
            },
            value=brackets,
            remedy=_("keep only the fields you need, or simplify them"),
        )
    try:
        document = json.loads(data)
    except RecursionError as error:
        raise FileError(_("The JSON nests too deeply"), value="nesting", remedy=_(_REMEDY)) from error
    except ValueError as error:
        where = _("in its encoding")
        if isinstance(error, json.JSONDecodeError):
            where = _("at line %(lineno)s, column %(colno)s") % {"lineno": error.lineno, "colno": error.colno}
        raise FileError(
            _("The JSON is broken %(where)s") % {"where": where}, value=where, remedy=_(_REMEDY)
        ) from error
    if not isinstance(document, dict):
        raise FileError(_("The JSON file is a bare list"), value=type(document).__name__, remedy=_(_REMEDY))
    return document


def _crs_member(document: Mapping[str, Any]) -> str | None:
    """What the file says of its system; by RFC 7946 section 4 saying nothing means WGS84."""
    crs = document.get("crs")
    if crs is None:
        return "OGC:CRS84"
    properties = crs.get("properties") if isinstance(crs, Mapping) else None
    said = properties.get("name", properties.get("code")) if isinstance(properties, Mapping) else None
    return str(said) if said is not None else None


def _features(
    obj: Any, tally: Tally, depth: int = 0
) -> Iterator[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    """Pairs of geometry and attributes, collections taken apart."""
    if not isinstance(obj, Mapping):
        raise FileError(
            _("“%(str)s” stands where a shape should") % {"str": shown(str(obj))},
            value=str(obj)[:60],
            remedy=_(_REMEDY),
        )
    kind = obj.get("type")
    if depth > _MAX_DEPTH:
        raise FileError(
            _("The file nests collections more than %(max_depth)s deep") % {"max_depth": _MAX_DEPTH},
            value=kind,
            remedy=_(_REMEDY),
        )
    if kind == "FeatureCollection":
        for child in _list(obj.get("features"), "A FeatureCollection"):
            yield from _features(child, tally, depth + 1)
    elif kind == "Feature":
        geometry, properties = obj.get("geometry"), obj.get("properties")
        attributes = dict(properties) if isinstance(properties, Mapping) else {}
        if isinstance(obj.get("id"), (str, int)):
            attributes.setdefault("id", obj["id"])
        if geometry is None:
            tally.count("empty shape")
        elif not isinstance(geometry, Mapping):
            raise FileError(_("A Feature holds no geometry"), value=str(geometry)[:60], remedy=_(_REMEDY))
        else:
            yield geometry, attributes
    else:
        yield obj, {}


def _list(value: Any, what: str) -> list[Any]:
    if not isinstance(value, list):
        raise FileError(
            _("%(what)s has no list of parts") % {"what": what}, value=str(value)[:60], remedy=_(_REMEDY)
        )
    return value


def _raw(feature: tuple[Mapping[str, Any], Mapping[str, Any]], tally: Tally) -> RawShape:
    geometry, attributes = feature
    number = tally.add_shape()
    properties = clean_properties(dict(attributes))
    return RawShape(name_from(properties, number), _geometry(geometry, tally), properties)


def _geometry(obj: Any, tally: Tally, depth: int = 0) -> shapely.Geometry:
    kind = obj.get("type") if isinstance(obj, Mapping) else None
    if kind == "GeometryCollection" and depth < _MAX_DEPTH:
        parts = _list(obj.get("geometries"), "A GeometryCollection")
        return shapely.GeometryCollection([_geometry(part, tally, depth + 1) for part in parts])
    if kind not in _DEPTH:
        raise FileError(
            _("“%(str)s” is no kind of GeoJSON shape") % {"str": shown(str(kind))},
            value=kind,
            remedy=_(_REMEDY),
        )
    given = _list(obj.get("coordinates"), f"A {kind}")
    if not given:
        return shapely.from_wkt(f"{kind.upper()} EMPTY")
    nested = _nested(given, _DEPTH[kind], tally)
    if kind == "MultiPolygon":
        return shapely.MultiPolygon([_polygon(rings) for rings in nested if rings])
    if kind == "Polygon":
        return _polygon(nested)
    try:
        return getattr(shapely, kind)(nested)
    except (ValueError, shapely.errors.ShapelyError) as error:
        raise FileError(
            _("A %(kind)s cannot be made (%(str)s)") % {"kind": kind, "str": shown(str(error))},
            value=kind,
            remedy=_(_REMEDY),
        ) from error


def _polygon(rings: list[Any]) -> shapely.Polygon:
    """Holes too short to be a ring are passed over, an outline too short is kept as nothing."""
    if not is_ring(rings[0]):
        return shapely.Polygon()
    return shapely.Polygon(rings[0], [ring for ring in rings[1:] if is_ring(ring)])


def _nested(value: Any, depth: int, tally: Tally) -> Any:
    """Positions as float arrays at the bottom, lists above."""
    if depth == 0:
        return _positions([value], tally)[0]
    if depth == 1:
        return _positions(_list(value, "A line"), tally)
    return [_nested(part, depth - 1, tally) for part in _list(value, "A shape")]


def _positions(given: list[Any], tally: Tally) -> np.ndarray[Any, Any]:
    """Positions as an (n, 2) array. A clean table of numbers goes in at once; anything else is looked through to
    find what is wrong.
    """
    tally.add_points(len(given))
    table = _table(given)
    if table is None:
        for position in given:
            if not _is_position(position):
                raise FileError(
                    _("%(str)s is not a position") % {"str": shown(str(position))},
                    value=str(position)[:60],
                    remedy=_("give [longitude, latitude] numbers"),
                )
        table = np.array([(p[0], p[1], p[2] or 0 if len(p) > 2 else 0) for p in given], dtype=np.float64)
    if table.size and table.shape[1] > 2 and table[:, 2].any():
        tally.note(_("Heights were left out."))
    return table.reshape(len(given), -1)[:, :2] if len(given) else np.empty((0, 2))


def _table(given: list[Any]) -> np.ndarray[Any, Any] | None:
    """The numbers as an array if every position has the same count of them and none is out of reach."""
    try:
        table = np.array(given)
    except ValueError:
        return None
    if table.ndim != 2 or table.shape[1] < 2 or table.dtype.kind not in "if":
        return None
    flat = table.astype(np.float64)
    return flat if (np.abs(flat[:, :2]) < _FAR).all() else None


def _is_position(position: Any) -> bool:
    return (
        isinstance(position, list)
        and len(position) >= 2
        and all(type(v) in (int, float) and abs(v) < _FAR and math.isfinite(v) for v in position[:2])
    )
