"""Every place of an export as GeoJSON (RFC 7946), for maps: made from the tables, not read on import.

This is the club's own copy of all it has, taken by whoever keeps the server: nothing is blurred, and the export
says so.
"""

import json
from collections.abc import Iterator
from typing import Any

from keeping.kinds import Kind
from keeping.tables import Row, read_rows

POINT = ("lon", "lat")
SHAPES = ("boundary", "geometry", "line")
NAMES = ("code", "name", "label", "reference", "number", "accuracy_m", "client_id")
GEOMETRIES = (
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
)


def has_places(kind: Kind) -> bool:
    return set(POINT) <= kind.fields.keys() or any(name in kind.fields for name in SHAPES)


def lines_of(kind: Kind, alias: str) -> Iterator[str]:
    """The text of a FeatureCollection, a feature a line."""
    yield '{"type":"FeatureCollection","features":[\n'
    comma = ""
    for row in read_rows(kind, alias):
        if geometry := _geometry(row):
            names = {name: row[name] for name in NAMES if row.get(name) is not None}
            feature = {
                "type": "Feature",
                "id": row[kind.pk],
                "geometry": geometry,
                "properties": {"table": kind.label, **names},
            }
            yield comma + json.dumps(feature, default=str, separators=(",", ":"))
            comma = ",\n"
    yield "\n]}\n"


def _geometry(row: Row) -> Any:
    if all(row.get(name) is not None for name in POINT):
        return {"type": "Point", "coordinates": [row[name] for name in POINT]}
    return next((row[name] for name in SHAPES if _is_geometry(row.get(name))), None)


def _is_geometry(value: Any) -> bool:
    return isinstance(value, dict) and value.get("type") in GEOMETRIES
