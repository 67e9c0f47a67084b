"""What goes out of a door: features with their places as the reader may see them, a question, and the page for it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol

import shapely
from django.utils.functional import Promise

from people.models import User

Words = str | Promise
"""Text that may wait for the language of its reader."""
FULL, SQUARE, LOCKED, UNKNOWN = "full", "1 km square", "withheld: locked", "no place recorded"
DRAWN = "as drawn"  # boundaries
COUNTED = "blocks of 1 m"  # ground covered


@dataclass(frozen=True)
class Property:
    """One property of a collection's features. `type` and `format` are JSON Schema's; `lookup` is what a filter asks.

    Without `lookup` it cannot be filtered by: what is left empty for some readers must not answer their questions.
    """

    type: str
    title: Words
    description: Words = ""
    unit: str = ""
    format: str = ""
    lookup: str = ""
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Feature:
    """`geometry` is a shapely geometry in WGS84 longitude and latitude, or None where nothing may be shown or is known.

    `precision` says which of these it is and how finely: FULL, SQUARE, LOCKED, UNKNOWN, DRAWN or COUNTED.
    """

    id: str
    geometry: shapely.Geometry | None
    properties: dict[str, Any]

    @property
    def precision(self) -> str:
        return str(self.properties["precision"])


@dataclass(frozen=True)
class Box:
    """A bounding box in degrees, its edges included. Where west is greater than east it crosses the antimeridian."""

    west: float
    south: float
    east: float
    north: float

    @property
    def parts(self) -> tuple["Box", ...]:
        """One box, or the two on either side of the antimeridian."""
        if self.west <= self.east:
            return (self,)
        return Box(self.west, self.south, 180.0, self.north), Box(-180.0, self.south, self.east, self.north)

    @property
    def shape(self) -> shapely.Geometry:
        parts = [shapely.box(part.west, part.south, part.east, part.north) for part in self.parts]
        return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


@dataclass(frozen=True)
class Query:
    """Which features: `since` and `until` close an interval (None: open), `equals` maps properties to values.

    A page begins after the feature whose number is `after`, or ends before that of `before`; rows that are added
    meanwhile come last, so that nobody reads one twice or misses one.
    """

    bbox: Box | None = None
    since: datetime | None = None
    until: datetime | None = None
    equals: Mapping[str, Any] = field(default_factory=dict)
    limit: int = 100
    after: int | None = None
    before: int | None = None


@dataclass(frozen=True)
class Page:
    """`matched` counts all that the question asks for, and is None where that is not known without drawing it all.

    `next_after` and `previous_before` go into the question for the page that follows or goes before; None at the ends.
    """

    features: list[Feature]
    matched: int | None
    next_after: int | None = None
    previous_before: int | None = None


@dataclass(frozen=True)
class Extent:
    """Where and when: a box round all that this reader is shown, and the first and last moment."""

    box: Box | None = None
    first: datetime | None = None
    last: datetime | None = None


class Rows(Protocol):
    """How one collection is read: what `user` may see, narrowed, and shown."""

    most: int

    def visible_to(self, user: User) -> Any: ...

    def within(self, rows: Any, box: Box, user: User) -> Any: ...

    def during(self, rows: Any, since: datetime | None, until: datetime | None) -> Any: ...

    def page(self, rows: Any, query: Query, user: User, *, at: datetime) -> Page: ...

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]: ...

    def extent(self, user: User) -> Extent: ...
