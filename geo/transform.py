"""Between WGS84 degrees and the grids of Britain and Ireland, each answer with its method and its 95 %
accuracy.

Nothing here lets PROJ choose a datum shift: outside its area it would silently answer 100 m wrong, so every
area is checked first and every projection is a fixed pipeline. Source of the figures: Ordnance Survey, A
Guide to Coordinate Systems in Great Britain v3.6 (2020) and Transformations and OSGM15 User Guide v1.3
(2020).
"""

import math
from dataclasses import dataclass
from functools import cache

from pyproj import Transformer
from pyproj.enums import TransformDirection

from geo.areas import is_british_side, is_irish_side
from geo.errors import PositionError
from geo.irish import IRISH_ACCURACY_M, from_irish, to_irish
from geo.ostn import from_osgb36, to_osgb36
from tongue import say as _

OSTN15_ACCURACY_M = 0.17
"""0.1 m rms, as a 95 % radius."""
HELMERT_ACCURACY_M = 3.0
"""The seven-parameter shift for all Britain, 95 % in plan."""
PROJECTION_ACCURACY_M = 0.0
"""A map projection on the same datum adds nothing."""

_TO_RADIANS = "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
_HELMERT = (
    _TO_RADIANS + "+step +proj=cart +ellps=WGS84 "
    "+step +proj=helmert +x=-446.448 +y=125.157 +z=-542.060 +rx=-0.1502 +ry=-0.2470 +rz=-0.8421 +s=20.4894 "
    "+convention=position_vector +step +inv +proj=cart +ellps=airy "
    "+step +proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy"
)
_ITM = _TO_RADIANS + (
    "+step +proj=tmerc +lat_0=53.5 +lon_0=-8 +k=0.99982 +x_0=600000 +y_0=750000 +ellps=GRS80"
)
_SWEREF99_TM = _TO_RADIANS + "+step +proj=utm +zone=33 +ellps=GRS80"


@dataclass(frozen=True)
class GridPoint:
    """A point on a grid in metres, with how it was reached and the 95 % error of that step in metres."""

    easting: float
    northing: float
    transformation: str
    accuracy_m: float


@dataclass(frozen=True)
class Place:
    """A WGS84 point in degrees, with how it was reached and the 95 % error of that step in metres."""

    lon: float
    lat: float
    transformation: str
    accuracy_m: float


@cache
def pipeline(definition: str) -> Transformer:
    """A fixed PROJ pipeline, made once. pyproj keeps one context a thread behind it."""
    return Transformer.from_pipeline(definition)


def _forward(definition: str, lon: float, lat: float) -> tuple[float, float]:
    x, y = pipeline(definition).transform(lon, lat)
    return float(x), float(y)


def _inverse(definition: str, x: float, y: float) -> tuple[float, float]:
    lon, lat = pipeline(definition).transform(x, y, direction=TransformDirection.INVERSE)
    return float(lon), float(lat)


def helmert_to_national_grid(lon: float, lat: float) -> GridPoint:
    """The labelled fallback where OSTN15 has no value: metres good to 3 m (95 %)."""
    return GridPoint(*_forward(_HELMERT, lon, lat), "Helmert WGS84 to OSGB36", HELMERT_ACCURACY_M)


def to_national_grid(lon: float, lat: float) -> GridPoint:
    """British National Grid by OSTN15, else the labelled Helmert.

    Raises PositionError outside Great Britain, the Isle of Man and their waters.
    """
    if not is_british_side(lon, lat):
        raise PositionError(
            _("%(lat)s, %(lon)s is outside the British National Grid")
            % {"lat": f"{lat:.5f}", "lon": f"{lon:.5f}"},
            value=(lon, lat),
            remedy=_("give a place in Great Britain or the Isle of Man, or set the site's country"),
        )
    east, north = to_osgb36(lon, lat)
    if math.isnan(east[0]):
        return helmert_to_national_grid(lon, lat)
    return GridPoint(float(east[0]), float(north[0]), "OSTN15", OSTN15_ACCURACY_M)


def national_grid_place(easting: float, northing: float) -> Place:
    """WGS84 of any point of the National Grid's frame, land or sea, without the check of country."""
    lon, lat = from_osgb36(easting, northing)
    if math.isnan(lon[0]):
        return Place(*_inverse(_HELMERT, easting, northing), "Helmert OSGB36 to WGS84", HELMERT_ACCURACY_M)
    return Place(float(lon[0]), float(lat[0]), "OSTN15", OSTN15_ACCURACY_M)


def from_national_grid(easting: float, northing: float) -> Place:
    """WGS84 from British National Grid metres. Raises PositionError outside the grid or on the Irish side."""
    inside = 0 <= easting < 700_000 and 0 <= northing < 1_300_000
    place = national_grid_place(easting, northing) if inside else None
    if place is None or not is_british_side(place.lon, place.lat):
        raise PositionError(
            _("E %(easting)s N %(northing)s is not in Great Britain or the Isle of Man")
            % {"easting": f"{easting:g}", "northing": f"{northing:g}"},
            value=(easting, northing),
            remedy=_("give National Grid eastings of 0 to 700000 and northings of 0 to 1300000 in metres"),
        )
    return place


def _check_irish(lon: float, lat: float, value: object) -> None:
    if not is_irish_side(lon, lat):
        raise PositionError(
            _("%(lat)s, %(lon)s is outside Ireland, so the Irish grids do not hold there")
            % {"lat": f"{lat:.5f}", "lon": f"{lon:.5f}"},
            value=value,
            remedy=_("give a place on the island of Ireland, or set the site's country"),
        )


def to_irish_grid(lon: float, lat: float) -> GridPoint:
    """Irish Grid (TM75) by the survey's polynomial. Raises PositionError outside Ireland."""
    _check_irish(lon, lat, (lon, lat))
    east, north = to_irish(lon, lat)
    return GridPoint(float(east), float(north), "OSi/LPS polynomial", IRISH_ACCURACY_M)


def irish_grid_place(easting: float, northing: float) -> Place:
    """WGS84 of any point of the Irish Grid's frame, without the check of country."""
    lon, lat = from_irish(easting, northing)
    return Place(float(lon), float(lat), "OSi/LPS polynomial", IRISH_ACCURACY_M)


def _check_metres(name: str, easting: float, northing: float, far: tuple[float, float]) -> None:
    """Refuses metres that no projection should be asked about: far out it answers infinity or nonsense."""
    if not (0 <= easting < far[0] and 0 <= northing < far[1]):
        raise PositionError(
            _("E %(easting)s N %(northing)s is outside the %(name)s")
            % {"easting": f"{easting:g}", "northing": f"{northing:g}", "name": name},
            value=(easting, northing),
            remedy=_("give eastings below %(far)s and northings below %(far2)s in metres")
            % {"far": f"{far[0]:.0f}", "far2": f"{far[1]:.0f}"},
        )


def from_irish_grid(easting: float, northing: float) -> Place:
    """WGS84 from Irish Grid metres. Raises PositionError outside Ireland."""
    _check_metres("Irish Grid", easting, northing, (500_000, 500_000))
    place = irish_grid_place(easting, northing)
    _check_irish(place.lon, place.lat, (easting, northing))
    return place


def to_itm(lon: float, lat: float) -> GridPoint:
    """Irish Transverse Mercator, a plain projection on ETRS89. Raises PositionError outside Ireland."""
    _check_irish(lon, lat, (lon, lat))
    return GridPoint(*_forward(_ITM, lon, lat), "ITM projection", PROJECTION_ACCURACY_M)


def from_itm(easting: float, northing: float) -> Place:
    """WGS84 from Irish Transverse Mercator metres. Raises PositionError outside Ireland."""
    _check_metres("area of ITM", easting, northing, (1_000_000, 1_100_000))
    lon, lat = _inverse(_ITM, easting, northing)
    _check_irish(lon, lat, (easting, northing))
    return Place(lon, lat, "ITM projection", PROJECTION_ACCURACY_M)


def to_sweref99_tm(lon: float, lat: float) -> GridPoint:
    """SWEREF 99 TM, Sweden's national projection on ETRS89 (EPSG:3006)."""
    return GridPoint(*_forward(_SWEREF99_TM, lon, lat), "SWEREF 99 TM projection", PROJECTION_ACCURACY_M)


def from_sweref99_tm(easting: float, northing: float) -> Place:
    """WGS84 from SWEREF 99 TM metres. Raises PositionError for metres far from Sweden."""
    _check_metres("area of SWEREF 99 TM", easting, northing, (1_000_000, 8_000_000))
    lon, lat = _inverse(_SWEREF99_TM, easting, northing)
    return Place(lon, lat, "SWEREF 99 TM projection", PROJECTION_ACCURACY_M)
