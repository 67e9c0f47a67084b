"""Records that try a writer: a point, a square, areas, lines, and one without a place. Invented ground."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

import shapely

from doors.files.model import Column, Layer

AT = datetime(2026, 11, 21, 9, 30, tzinfo=UTC)
COLUMNS = [
    Column("number", "Find number"),
    Column("object_type", "Object"),
    Column("weight_g", "Weight", "number", unit="g"),
    Column("year_from", "Made from", "integer", description="BC as minus"),
    Column("is_coin", "Coin", "boolean"),
    Column("found_on", "Found on", format="date"),
    Column("recorded_at", "Recorded at", format="date-time"),
    Column("recorded_at_the_bench", "A name that is cut", description="Collides with the one before"),
]


@dataclass(frozen=True)
class Thing:
    id: str
    geometry: Any
    precision: str = "full"
    properties: dict[str, Any] = field(default_factory=dict)


def thing(number: int, geometry: Any, precision: str = "full", **said: Any) -> Thing:
    given = {
        "number": f"F-2026-{number:04}",
        "object_type": "buckle",
        "weight_g": 3.25,
        "year_from": -44,
        "is_coin": False,
        "found_on": date(2026, 3, 1),
        "recorded_at": AT,
        "recorded_at_the_bench": "",
    }
    return Thing(str(number), geometry, precision, given | said)


HOLED = shapely.Polygon(
    [(0.20, 53.70), (0.20, 53.71), (0.21, 53.71), (0.21, 53.70)],  # clockwise on purpose
    [[(0.203, 53.703), (0.206, 53.703), (0.206, 53.706), (0.203, 53.706)]],
)
SQUARE = shapely.box(0.15, 53.60, 0.165, 53.609)
LINES = shapely.MultiLineString(
    [[(0.2, 53.7), (0.201, 53.701)], [(0.202, 53.702), (0.203, 53.704), (0.204, 53.7)]]
)
THINGS = [
    thing(1, shapely.Point(0.1519371, 53.6013414), object_type="=1+1 & <Åse>", weight_g=None),
    thing(2, SQUARE, "1 km square", year_from=None, is_coin=True),
    thing(3, shapely.MultiPolygon([HOLED, shapely.box(0.3, 53.7, 0.31, 53.71)]), "as drawn"),
    thing(4, LINES, "as drawn", object_type="-"),
    thing(5, None, "withheld: locked", found_on=None, recorded_at=None, object_type="Ж" * 200),
]


def layer(name: str = "ground", **given: Any) -> Layer:
    said: dict[str, Any] = {
        "title": "Things of Ravensand",
        "columns": COLUMNS,
        "club": "Ravensand & District Search Club",
        "reader": "Mo Samphire",
        "at": AT,
        "description": "Everything that tries a writer.",
    }
    return Layer(name=name, **(said | given))
