"""Finds: each as its reader may see it. The full place, its 1 km square, or none while it is locked.

What narrows a place is asked of what is shown and of nothing finer: the finds' own columns answer where the reader
gets the full place, and those of the square's middle everywhere else (finds/squares.py).
"""

import math
from collections.abc import Iterable
from datetime import datetime
from typing import Any

import shapely
from django.db.models import Max, Min, Q
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import Box, Extent, Feature, Property
from doors.rows.base import PLACED, TableRows, box_of, joined, point_in
from doors.rows.holes import ordered, place, shape_of
from finds.map_query import SQUARE_REACH_DEG
from finds.models import Find
from finds.models.choices import Certainty, Tri
from finds.points import point_of
from finds.squares import square_at
from people.models import User
from people.rights import Right
from people.sensitivity import ShownPoint

PROPERTIES = {
    "number": Property("string", _lazy("Find number"), lookup="number"),
    "hunt": Property("string", _lazy("Hunt code"), lookup="hunt__code"),
    "site": Property("string", _lazy("Site code"), lookup="site__code"),
    "finder": Property("string", _lazy("Finder"), lookup="finder__name"),
    "found_at": Property("string", _lazy("Found at"), format="date-time"),
    "object_type": Property("string", _lazy("Object"), lookup="object_type"),
    "object_uri": Property(
        "string",
        _lazy("Term for the object"),
        _lazy("Its identifier in a vocabulary; empty for free text."),
        lookup="object_uri",
    ),
    "description": Property("string", _lazy("Description")),
    "inscription": Property("string", _lazy("Inscription or marks")),
    "is_coin": Property("string", _lazy("Coin or token"), lookup="is_coin", choices=tuple(Tri.values)),
    "materials": Property("string", _lazy("Materials"), _lazy("With a semicolon between them.")),
    "period": Property("string", _lazy("Period"), lookup="period"),
    "period_uri": Property(
        "string",
        _lazy("Term for the period"),
        _lazy("Its identifier in a vocabulary; empty for free text."),
        lookup="period_uri",
    ),
    "year_from": Property(
        "integer", _lazy("Made from"), _lazy("Year; BC as minus, and there is no year 0."), lookup="year_from"
    ),
    "year_to": Property(
        "integer", _lazy("Made until"), _lazy("Year; BC as minus, and there is no year 0."), lookup="year_to"
    ),
    "edtf": Property(
        "string", _lazy("Date in EDTF"), _lazy("When it was made, in the extended format of ISO 8601-2.")
    ),
    "certainty": Property("string", _lazy("How sure"), lookup="certainty", choices=tuple(Certainty.values)),
    "count": Property("integer", _lazy("How many"), lookup="count"),
    "weight_g": Property("number", _lazy("Weight"), unit="g"),
    "length_mm": Property("number", _lazy("Length"), unit="mm"),
    "width_mm": Property("number", _lazy("Width"), unit="mm"),
    "thickness_mm": Property("number", _lazy("Thickness"), unit="mm"),
    "diameter_mm": Property("number", _lazy("Diameter"), unit="mm"),
    "depth_cm": Property("integer", _lazy("Depth"), unit="cm", lookup="depth_cm"),
    "context": Property("string", _lazy("Context")),
    "land_use": Property("string", _lazy("Land use"), lookup="land_use"),
    "completeness": Property("string", _lazy("Completeness")),
    "condition": Property("string", _lazy("Condition")),
    "recorded_at": Property("string", _lazy("Recorded at"), format="date-time"),
    **PLACED,
}
_NUMBERS = ("weight_g", "length_mm", "width_mm", "thickness_mm", "diameter_mm")
_OTHERWISE = {"hunt", "site", "finder", "materials", "edtf", "accuracy_m", "precision", *_NUMBERS}
_OWN = tuple(name for name in PROPERTIES if name not in _OTHERWISE)  # as the column has it
_LEFT = ("site__boundary", "hunt__gate_answer", "hunt__briefing", "hunt__leader_report")


class FindRows(TableRows):
    """Every find that the reader may see."""

    moment = "found_at"

    def visible_to(self, user: User) -> Any:
        rows = Find.objects.visible_to(user).select_related("finder", "hunt", "site")
        return rows.prefetch_related("materials").defer(*_LEFT)

    def within(self, rows: Any, box: Box, user: User) -> Any:
        """A find without a place for this reader is in every box; a hidden one is where its square is."""
        placeless = Q(locked=True) | Q(square_lat__isnull=True)
        if _sees_all(user):
            return rows.filter(placeless | point_in(box))
        squares = _squares_in(rows.filter(~_own(user), locked=False), box)
        return rows.filter(placeless | (_own(user) & point_in(box)) | (~_own(user) & squares))

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        return [_feature(find, None if find.locked else point_of(find, user)) for find in rows]

    def extent(self, user: User) -> Extent:
        rows = self.visible_to(user)
        placed = rows.filter(locked=False).order_by()
        if _sees_all(user):
            box = _ends(placed, "lon", "lat")
        else:
            middles = _ends(placed.filter(~_own(user)), "square_lon", "square_lat")
            box = joined(_ends(placed.filter(_own(user)), "lon", "lat"), middles and widened(middles))
        return Extent(box, *self.times(rows))


def _sees_all(user: User) -> bool:
    """Is every place that is not locked shown in full? A test holds this and `_own` against finds/points.py."""
    return user.holds(Right.SEE_FINDSPOTS) or user.holds(Right.SEE_LOCKED_FINDSPOTS)


def _own(user: User) -> Q:
    """Finds whose full place is shown to a reader who does not see all of them."""
    return Q(finder=user) | Q(hunt__leader=user)


def _squares_in(rows: Any, box: Box) -> Q:
    """A condition: the 1 km square has something in common with the box. The middle decides for most squares; of those
    near the edge of the box, the square itself."""
    middle_in = point_in(box, "square_lon", "square_lat")
    near = rows.filter(point_in(widened(box), "square_lon", "square_lat")).exclude(middle_in)
    columns = "square_cell", "square_lon", "square_lat"
    squares = near.prefetch_related(None).order_by().values_list(*columns).distinct()
    return middle_in | Q(square_cell__in=_reaching(squares, box))


def _reaching(squares: Iterable[tuple[int, float, float]], box: Box) -> list[int]:
    area = box.shape
    return [
        cell
        for cell, lon, lat in squares
        if shapely.intersects(area, shapely.Polygon(square_at(lon, lat).ring))
    ]


def widened(box: Box) -> Box:
    """The box with room for half a square on every side; it may then cross the antimeridian or go all round."""
    far = min(max(abs(box.south), abs(box.north)), 85.0)
    beside = SQUARE_REACH_DEG / math.cos(math.radians(far))
    south, north = max(box.south - SQUARE_REACH_DEG, -90.0), min(box.north + SQUARE_REACH_DEG, 90.0)
    across = (box.east - box.west) % 360 if box.west > box.east else box.east - box.west
    if across + 2 * beside >= 360:
        return Box(-180.0, south, 180.0, north)
    return Box(_turned(box.west - beside), south, _turned(box.east + beside), north)


def _turned(lon: float) -> float:
    return lon if -180 <= lon <= 180 else (lon + 180) % 360 - 180


def _ends(rows: Any, lon: str, lat: str) -> Box | None:
    ends = rows.aggregate(w=Min(lon), s=Min(lat), e=Max(lon), n=Max(lat))
    return box_of((ends["w"], ends["s"], ends["e"], ends["n"]))


def _feature(find: Find, point: ShownPoint | None) -> Feature:
    said = {name: getattr(find, name) for name in _OWN}
    said |= {"hunt": find.hunt.code, "site": find.site.code, "finder": find.finder.name}
    for name in _NUMBERS:
        value = getattr(find, name)
        said[name] = None if value is None else float(value)
    said |= {"materials": "; ".join(str(row) for row in find.materials.all()), "edtf": find.edtf_date}
    return Feature(
        str(find.pk), shape_of(point), ordered(said | place(point, locked=find.locked), PROPERTIES)
    )
