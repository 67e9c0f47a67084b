"""Findspots and searched ground as GeoJSON.

Source: RFC 7946 (The GeoJSON Format, 2016): WGS 84 longitude then latitude (section 4), no `crs` member, exterior
rings anticlockwise (3.1.6), a feature without a place has the geometry null (3.2), other members are allowed (6.1).
"""

import json
from typing import Any

from shapely import MultiPolygon, Polygon
from shapely.geometry import mapping
from shapely.geometry.polygon import orient

from geo.measure import to_shape
from reports.build.heritage_case import CaseFacts, ObjectFacts
from reports.build.heritage_effort import Effort
from reports.package.columns import OBJECTS

PLACES = 7
"""Decimal places of a degree: a centimetre, finer than any fix of the club."""
CRS = "WGS 84 (EPSG:4326): longitude, then latitude, in degrees, as RFC 7946 asks."
NOTE = "Exact findspots. Do not publish. The accuracy is the half-width of a 95 % interval in metres."
_IN_GEOMETRY = {"longitude", "latitude"}


def findspots(facts: CaseFacts) -> str:
    """The objects as points with what the table says of them."""
    return _collection([_object(each) for each in facts.objects], "findspots")


def searched_ground(facts: CaseFacts) -> str:
    """The boundaries of the searches as they were on the day, also where nothing was found."""
    features = [_ground(effort, each) for effort in facts.efforts for each in effort.ground]
    return _collection(features, "searched ground")


def _collection(features: list[dict[str, Any]], name: str) -> str:
    body = {
        "type": "FeatureCollection",
        "name": name,
        "coordinate_reference": CRS,
        "note": NOTE,
        "features": features,
    }
    return json.dumps(body, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _object(each: ObjectFacts) -> dict[str, Any]:
    point = each.point
    place = None
    if point is not None:
        place = {"type": "Point", "coordinates": [round(point.lon, PLACES), round(point.lat, PLACES)]}
    said = {column.name: _plain(column.value(each)) for column in OBJECTS if column.name not in _IN_GEOMETRY}
    return {"type": "Feature", "id": each.find.number, "geometry": place, "properties": said}


def _plain(value: Any) -> Any:
    """Numbers stay numbers, exact decimals become numbers too, nothing becomes null."""
    if value is None or value == "":
        return None
    return value if isinstance(value, str | int | float) else float(value)


def _ground(effort: Effort, each: dict[str, Any]) -> dict[str, Any]:
    shape = to_shape(each["geometry"])
    parts = shape.geoms if isinstance(shape, MultiPolygon) else [shape]
    turned = MultiPolygon([orient(part, sign=1.0) for part in parts if isinstance(part, Polygon)])
    return {
        "type": "Feature",
        "id": f"{effort.code}-{each['site']}",
        "geometry": _rounded(mapping(turned)),
        "properties": {
            "hunt": effort.code,
            "day": effort.on.isoformat(),
            "site": each["site"],
            "holes of the hunt": effort.holes,
            "blank holes of the hunt": effort.blanks,
            "people-hours of the hunt": None if effort.hours is None else round(effort.hours, 2),
        },
    }


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item) for item in value]
    return round(value, PLACES) if isinstance(value, float) else value
