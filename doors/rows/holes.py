"""Holes: each where it was dug, but for the locked ones, whose place is read on their own page alone."""

from datetime import datetime
from typing import Any

import shapely
from django.db.models import Max, Min, Q
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import LOCKED, UNKNOWN, Box, Extent, Feature, Property
from doors.rows.base import PLACED, TableRows, box_of, point_in
from hunts.models import Hole
from hunts.models.hole import Ground, Outcome
from hunts.points import point_of
from hunts.states import HoleState
from people.models import User
from people.rights import Right
from people.sensitivity import Precision, ShownPoint

PROPERTIES = {
    "hunt": Property("string", _lazy("Hunt code"), lookup="hunt__code"),
    "site": Property("string", _lazy("Site code"), lookup="site__code"),
    "number": Property("integer", _lazy("Number"), _lazy("Running number within the hunt."), lookup="number"),
    "digger": Property("string", _lazy("Dug by"), lookup="digger__name"),
    "dug_at": Property("string", _lazy("Dug at"), format="date-time"),
    "depth_cm": Property("integer", _lazy("Depth"), unit="cm", lookup="depth_cm"),
    "ground": Property("string", _lazy("Ground"), lookup="ground", choices=tuple(Ground.values)),
    "outcome": Property("string", _lazy("What came out"), lookup="outcome", choices=tuple(Outcome.values)),
    "target_id": Property("integer", _lazy("Target ID shown"), lookup="target_id"),
    "state": Property(
        "string", _lazy("State"), lookup="state", choices=tuple(state.value for state in HoleState)
    ),
    "filled_at": Property("string", _lazy("Filled at"), format="date-time"),
    "checked_at": Property("string", _lazy("Checked at"), format="date-time"),
    **PLACED,
}
COLUMNS = (
    "number",
    "dug_at",
    "depth_cm",
    "ground",
    "outcome",
    "target_id",
    "state",
    "filled_at",
    "checked_at",
    "locked",
)


class HoleRows(TableRows):
    """Every hole that the reader may see."""

    moment = "dug_at"

    def visible_to(self, user: User) -> Any:
        return Hole.objects.visible_to(user).select_related("digger", "hunt", "site").defer("site__boundary")

    def within(self, rows: Any, box: Box, user: User) -> Any:
        placeless = Q(locked=True) | Q(lat__isnull=True)
        return rows.filter(placeless | (_in_full(user) & point_in(box)))

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        return [_feature(hole, None if hole.locked else point_of(hole, user)) for hole in rows]

    def extent(self, user: User) -> Extent:
        rows = self.visible_to(user)
        placed = rows.filter(_in_full(user), locked=False).order_by()
        ends = placed.aggregate(w=Min("lon"), s=Min("lat"), e=Max("lon"), n=Max("lat"))
        return Extent(box_of((ends["w"], ends["s"], ends["e"], ends["n"])), *self.times(rows))


def _in_full(user: User) -> Q:
    """Holes whose full place is shown while they are not locked; a test holds this against hunts/points.py."""
    if user.holds(Right.SEE_FINDSPOTS) or user.holds(Right.SEE_LOCKED_FINDSPOTS):
        return Q()
    return Q(digger=user) | Q(hunt__leader=user)


def _feature(hole: Hole, point: ShownPoint | None) -> Feature:
    said = {"hunt": hole.hunt.code, "site": hole.site.code, "digger": hole.digger.name}
    said |= {name: getattr(hole, name) for name in COLUMNS}
    return Feature(
        str(hole.pk), shape_of(point), ordered(said | place(point, locked=hole.locked), PROPERTIES)
    )


def place(point: ShownPoint | None, *, locked: bool) -> dict[str, Any]:
    """How finely the place is given, and how well it is known where it is given in full."""
    if point is None:
        return {"accuracy_m": None, "precision": LOCKED if locked else UNKNOWN}
    return {"accuracy_m": point.accuracy_m, "precision": point.precision.value}


def shape_of(point: ShownPoint | None) -> shapely.Geometry | None:
    """A point, or the square that stands for it."""
    if point is None:
        return None
    return (
        shapely.Point(point.lon, point.lat)
        if point.precision is Precision.FULL
        else shapely.Polygon(point.ring)
    )


def ordered(said: dict[str, Any], names: Any) -> dict[str, Any]:
    return {name: said[name] for name in names}
