"""What the collections share: pages by primary key, boxes asked of the database, moments."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import reduce
from operator import or_
from typing import Any

import shapely
from django.db.models import Max, Min, Q
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import Box, Extent, Feature, Page, Property, Query
from geo.measure import to_shape
from people.models import User

MOST = 1000
PLACED = {
    "locked": Property(
        "boolean",
        _lazy("Locked"),
        _lazy("Under a possible duty: its place is not given here."),
        lookup="locked",
    ),
    "accuracy_m": Property(
        "number",
        _lazy("Accuracy"),
        _lazy("Radius that holds the place 95 times of 100; only with the full place."),
        unit="m",
    ),
    "precision": Property(
        "string", _lazy("Precision"), _lazy("How finely the place is given to this reader.")
    ),
}
"""What finds and holes say of their place beside it."""


class TableRows:
    """A collection whose question the database answers: one feature a row, in the order of primary keys."""

    most = MOST
    moment = ""  # the column that says when; empty: a feature has no time, and every moment matches it

    def visible_to(self, user: User) -> Any:
        raise NotImplementedError

    def within(self, rows: Any, box: Box, user: User) -> Any:
        raise NotImplementedError

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        raise NotImplementedError

    def extent(self, user: User) -> Extent:
        raise NotImplementedError

    def during(self, rows: Any, since: datetime | None, until: datetime | None) -> Any:
        """Those whose moment lies in the interval, its ends included."""
        if self.moment and since is not None:
            rows = rows.filter(**{f"{self.moment}__gte": since})
        if self.moment and until is not None:
            rows = rows.filter(**{f"{self.moment}__lte": until})
        return rows

    def page(self, rows: Any, query: Query, user: User, *, at: datetime) -> Page:
        """Count, cut and show. Three questions to the database besides what showing asks."""
        found, more = cut(rows, query, self.most)
        return Page(
            self.shown(found, user, at=at),
            rows.count(),
            next_after=found[-1].pk if found and more else None,
            previous_before=found[0].pk if found and rows.filter(pk__lt=found[0].pk).exists() else None,
        )

    def times(self, rows: Any) -> tuple[datetime | None, datetime | None]:
        ends = rows.order_by().aggregate(first=Min(self.moment), last=Max(self.moment))
        return ends["first"], ends["last"]


def cut(rows: Any, query: Query, most: int) -> tuple[list[Any], bool]:
    """The rows of one page in order, and whether more follow."""
    limit = min(query.limit, most)
    if query.after is not None:
        rows = rows.filter(pk__gt=query.after)
    if query.before is not None:
        before = list(rows.filter(pk__lt=query.before).order_by("-pk")[:limit])
        return before[::-1], bool(before)
    found = list(rows.order_by("pk")[: limit + 1])
    return found[:limit], len(found) > limit


def point_in(box: Box, lon: str = "lon", lat: str = "lat") -> Q:
    """A condition on two columns: the point lies in the box, its edges included."""
    ranges = [Q(**{f"{lon}__range": (part.west, part.east)}) for part in box.parts]
    return Q(**{f"{lat}__range": (box.south, box.north)}) & reduce(or_, ranges)


def bounds_in(box: Box) -> Q:
    """A condition on a site's bounds: all of it lies in the box."""
    return _of_parts(box, min_lon="gte", max_lon="lte", min_lat="gte", max_lat="lte", swap=False)


def bounds_meet(box: Box) -> Q:
    """A condition on a site's bounds: they and the box have something in common."""
    return _of_parts(box, min_lon="lte", max_lon="gte", min_lat="lte", max_lat="gte", swap=True)


def _of_parts(box: Box, *, swap: bool, **how: str) -> Q:
    return reduce(or_, [_of_part(part, how, swap=swap) for part in box.parts])


def _of_part(part: Box, how: dict[str, str], *, swap: bool) -> Q:
    low, high = (part.east, part.north), (part.west, part.south)
    if not swap:
        low, high = high, low
    values = {"min_lon": low[0], "max_lon": high[0], "min_lat": low[1], "max_lat": high[1]}
    return Q(**{f"{name}__{how[name]}": value for name, value in values.items()})


def meeting(shapes: Iterable[tuple[int, Any]], box: Box) -> list[int]:
    """Of (number, GeoJSON), the numbers of those that have something in common with the box."""
    area = box.shape
    return [number for number, shape in shapes if shapely.intersects(area, to_shape(shape))]


def box_of(values: Sequence[float | None]) -> Box | None:
    """The box of (west, south, east, north), or None where there is nothing to put into it."""
    west, south, east, north = values
    if west is None or south is None or east is None or north is None:
        return None
    return Box(west, south, east, north)


def joined(*boxes: Box | None) -> Box | None:
    """The box round all of them."""
    kept = [box for box in boxes if box is not None]
    if not kept:
        return None
    return Box(
        min(box.west for box in kept),
        min(box.south for box in kept),
        max(box.east for box in kept),
        max(box.north for box in kept),
    )


def bounds_of(rows: Any) -> Box | None:
    """The box round the bounds of sites."""
    ends = rows.order_by().aggregate(w=Min("min_lon"), s=Min("min_lat"), e=Max("max_lon"), n=Max("max_lat"))
    return box_of((ends["w"], ends["s"], ends["e"], ends["n"]))
