"""Invented ground at sea in square TA: six holdings of fields, with hedges, tracks, a beck, a wood and farmsteads."""

from dataclasses import dataclass
from random import Random
from typing import Any

import shapely
from shapely.geometry import mapping

from geo.local import Local

ORIGIN = Local(0.24, 53.63)  # about 8 km off the coast of Holderness
FIELD_M = 260.0


@dataclass(frozen=True, slots=True)
class Field:
    name: str
    shape: shapely.Polygon  # degrees


@dataclass(frozen=True, slots=True)
class Holding:
    name: str
    parish: str
    fields: list[Field]


NAMES: list[tuple[str, str, list[str]]] = [
    (
        "Saltmere Farm",
        "Ravensand",
        ["Far Warp", "Chapel Garth", "Sixteen Acre", "Clay Dyke Close", "Long Butts"],
    ),
    ("Marram Grange", "Ravensand", ["North Field", "Sheepwash", "Beacon Hill", "Mill Close"]),
    ("Gullholme Farm", "Orwithfleet", ["Kiln Garth", "Broad Ings", "Ox Pasture", "Thorn Close"]),
    ("Sunk Acre Farm", "Orwithfleet", ["Sunk Acre", "Brick Pit Field", "West Carr", "Pond Close"]),
    ("Ravensand Hall Estate", "Ravensand Odd", ["Park Field", "Gallows Flat", "Deer Leap", "Home Close"]),
    ("Groyne End", "Sand-le-Mere Parva", ["Wreck Close", "Lamp Field", "Drift Piece", "Crooked Close"]),
]


def holdings(rng: Random) -> list[Holding]:
    """Return the six holdings, side by side in two rows of three."""
    made = []
    for index, (name, parish, names) in enumerate(NAMES):
        x0, y0 = (index % 3) * 1150.0 - 1700.0, (index // 3) * 900.0 - 800.0
        fields = [Field(n, _field(rng, x0, y0, k)) for k, n in enumerate(names)]
        made.append(Holding(name, parish, fields))
    return made


def _field(rng: Random, x0: float, y0: float, k: int) -> shapely.Polygon:
    """One field with corners off the square, so that lanes and areas are not trivial."""
    x, y = x0 + (k % 3) * (FIELD_M + 12), y0 + (k // 3) * (FIELD_M + 12)
    width, height = rng.uniform(170, FIELD_M), rng.uniform(150, FIELD_M)
    corners = [(x, y), (x + width, y + rng.uniform(0, 18)), (x + width - rng.uniform(0, 40), y + height)]
    corners += [(x + width / 2, y + height - rng.uniform(0, 25)), (x + rng.uniform(0, 25), y + height - 10)]
    return shapely.set_precision(ORIGIN.to_degrees(shapely.Polygon(corners)), 1e-7)


def background(made: list[Holding]) -> dict[str, Any]:
    """Return the club's own background layer as GeoJSON: hedges, a track and a beck through, a wood, farmsteads."""
    features = [_feature("hedge", shapely.LineString(f.shape.exterior)) for h in made for f in h.fields]
    for index, holding in enumerate(made):
        x, y = ORIGIN.forward(*holding.fields[0].shape.centroid.coords[0])
        yard = shapely.box(float(x) - 170, float(y) - 60, float(x) - 135, float(y) - 35)
        features.append(_feature("farmstead", ORIGIN.to_degrees(yard), holding.name))
        track = shapely.LineString([(float(x) - 150, float(y) - 60), (float(x) - 150, -40.0 + index)])
        features.append(_feature("track", ORIGIN.to_degrees(track)))
    lane = shapely.LineString([(-2100, -30), (-900, -55), (300, -20), (1900, -60)])
    beck = shapely.LineString([(-2000, 820), (-1000, 640), (-200, 760), (900, 600), (1900, 700)])
    wood = shapely.Point(1250, 640).buffer(95, quad_segs=3)
    features += [
        _feature("track", ORIGIN.to_degrees(lane), "Sand Lane"),
        _feature("beck", ORIGIN.to_degrees(beck), "Fleet Beck"),
        _feature("wood", ORIGIN.to_degrees(wood), "Lamp Wood"),
    ]
    return {"type": "FeatureCollection", "features": features}


def _feature(kind: str, shape: shapely.Geometry, name: str = "") -> dict[str, Any]:
    geometry = mapping(shapely.set_precision(shape, 1e-7))
    return {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, "name": name}}


def point_in(shape: shapely.Polygon, rng: Random) -> tuple[float, float]:
    """Return a random (lon, lat) inside `shape`, kept 4 m off the edge where the field is wide enough."""
    inner = ORIGIN.to_degrees(ORIGIN.to_metres(shape).buffer(-4)) or shape
    west, south, east, north = inner.bounds
    while True:
        lon, lat = rng.uniform(west, east), rng.uniform(south, north)
        if inner.contains(shapely.Point(lon, lat)):
            return round(lon, 7), round(lat, 7)
