"""The one road out for a point: how finely a reader may see where something lay.

Pure apart from being told the facts: no query, no clock. Views, exports, photographs, e-mails and reports
ask here and show only what comes back.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from django.utils.translation import gettext as _

from geo.gridref import describe_position
from geo.position import Country
from geo.precision import square_of

SQUARE_M = 1000


class Precision(StrEnum):
    FULL = "full"
    SQUARE = "1 km square"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Reader:
    """What is known of the reader in relation to one point."""

    is_finder: bool = False
    leads_hunt: bool = False
    is_member: bool = False
    sees_findspots: bool = False  # committee and secretary
    sees_locked: bool = False  # committee only
    is_landholder_with_terms: bool = False  # own land, and the terms give full findspots


@dataclass(frozen=True, slots=True)
class ShownPoint:
    """What may be shown: words for people, and either an exact point or a square for maps.

    `ring` is the square's outline as (lon, lat) pairs; it is empty for an exact point.
    """

    precision: Precision
    label: str
    lon: float
    lat: float
    accuracy_m: float | None
    ring: tuple[tuple[float, float], ...] = ()


def precision_for(reader: Reader, *, locked: bool) -> Precision:
    """Full for finder, hunt leader and committee; also secretary and landholder by terms unless locked.

    Other members see the 1 km square of an unlocked point; everybody else nothing.
    Common practice: national publishing precision is four figures (1 km).
    """
    if reader.is_finder or reader.leads_hunt or reader.sees_locked:
        return Precision.FULL
    if locked:
        return Precision.NOTHING
    if reader.sees_findspots or reader.is_landholder_with_terms:
        return Precision.FULL
    return Precision.SQUARE if reader.is_member else Precision.NOTHING


def show_point(
    lon: float | None, lat: float | None, accuracy_m: float | None, *, precision: Precision, country: Country
) -> ShownPoint | None:
    """Return the point as far as `precision` allows, or None where nothing may be shown or nothing is known."""
    if lon is None or lat is None or precision is Precision.NOTHING:
        return None
    if precision is Precision.FULL:
        return ShownPoint(precision, describe_position(lon, lat, accuracy_m, country), lon, lat, accuracy_m)
    square = square_of(lon, lat, SQUARE_M, country)
    return ShownPoint(
        precision,
        _("%(square_label)s (1 km square)") % {"square_label": square.label},
        square.centre_lon,
        square.centre_lat,
        None,
        square.ring,
    )


class Land(Protocol):
    @property
    def country(self) -> Country: ...


class Placed(Protocol):
    """A record with a place: a hole, a find, an incident."""

    lon: float | None
    lat: float | None
    accuracy_m: float | None
    locked: bool

    @property
    def site(self) -> Land: ...


def show_record(record: Placed, reader: Reader) -> ShownPoint | None:
    """The place of `record` as `reader` may see it. `record.site` should be loaded."""
    precision = precision_for(reader, locked=record.locked)
    return show_point(
        record.lon, record.lat, record.accuracy_m, precision=precision, country=record.site.country
    )
