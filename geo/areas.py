"""Which grid a place belongs to: countries, coordinate systems and where each may be used."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

import numpy as np
import shapely


class Country(StrEnum):
    """Whose grid and law a place falls under. `OTHER` means none of those named."""

    GB = "GB"
    IE = "IE"
    NI = "NI"
    IM = "IM"
    US = "US"
    SE = "SE"
    NO = "NO"
    DK = "DK"
    NL = "NL"
    OTHER = "OTHER"


class System(StrEnum):
    """The reference system a position was written in."""

    NATIONAL_GRID = "national_grid"
    IRISH_GRID = "irish_grid"
    ITM = "itm"
    UTM = "utm"
    MGRS = "mgrs"
    SWEREF99_TM = "sweref99_tm"
    ETRS89_UTM = "etrs89_utm"
    WGS84 = "wgs84"


SYSTEM_NAMES = {
    System.NATIONAL_GRID: "British National Grid",
    System.IRISH_GRID: "Irish Grid",
    System.ITM: "Irish Transverse Mercator",
    System.UTM: "UTM",
    System.MGRS: "MGRS",
    System.SWEREF99_TM: "SWEREF 99 TM",
    System.ETRS89_UTM: "ETRS89 UTM",
    System.WGS84: "latitude and longitude",
}

BRITISH = frozenset({Country.GB, Country.IM})
IRISH = frozenset({Country.IE, Country.NI})


@dataclass(frozen=True)
class Box:
    """A box in degrees: west, south, east, north."""

    west: float
    south: float
    east: float
    north: float

    def covers(self, lon: float, lat: float) -> bool:
        """True on and inside the edge."""
        return self.west <= lon <= self.east and self.south <= lat <= self.north


# GB and Ireland: EPSG areas of use 4390 and 1305. The others are generous boxes of the mainland (common
# practice), used only to notice that latitude and longitude were swapped.
BOXES: dict[Country, tuple[Box, ...]] = {
    Country.GB: (Box(-8.82, 49.79, 1.92, 60.94),),
    Country.IM: (Box(-4.95, 53.95, -4.20, 54.50),),
    Country.IE: (Box(-10.70, 51.30, -5.30, 55.50),),
    Country.NI: (Box(-8.25, 53.95, -5.30, 55.40),),
    Country.SE: (Box(10.0, 55.0, 24.5, 69.2),),
    Country.NO: (Box(4.0, 57.5, 31.5, 71.5), Box(10.0, 76.0, 34.0, 81.0)),
    Country.DK: (Box(7.5, 54.4, 15.4, 58.0),),
    Country.NL: (Box(3.2, 50.7, 7.3, 53.7),),
    Country.US: (
        Box(-125.0, 24.3, -66.8, 49.5),
        Box(-180.0, 51.0, -129.0, 71.6),
        Box(-161.0, 18.8, -154.7, 22.4),
    ),
}

# The Irish side of the mid-line through the Irish Sea, the North Channel and the sea west of Islay. Drawn by
# hand from charted headlands (Ards 5.43 W and Rhins 5.19 W, Rathlin and Kintyre, Rathlin and Oa): good to a
# few kilometres, all of them at sea.
_IRISH_SIDE = (
    (-11.0, 51.2),
    (-6.0, 51.2),
    (-5.95, 52.0),
    (-5.6, 52.8),
    (-5.4, 53.6),
    (-5.3, 54.2),
    (-5.31, 54.65),
    (-5.55, 54.95),
    (-5.98, 55.24),
    (-6.2, 55.44),
    (-6.5, 55.48),
    (-7.5, 55.6),
    (-11.0, 55.6),
)


@cache
def _irish_side() -> shapely.Polygon:
    polygon = shapely.Polygon(_IRISH_SIDE)
    shapely.prepare(polygon)
    return polygon


def is_irish_side(lon: float, lat: float) -> bool:
    """True if the place is on the island of Ireland or its waters, where the Irish Grid holds."""
    return bool(shapely.contains_xy(_irish_side(), lon, lat))


# Where the National Grid's eastings begin, by latitude; west of it the grid has no letters. St Kilda lies inside.
_GRID_BEGINS = ((49.79, -7.559), (51, -7.703), (53, -7.964), (55, -8.258), (57, -8.591), (59, -8.971))


def is_british_side(lon: float, lat: float) -> bool:
    """True in Great Britain, the Isle of Man and their waters, where the National Grid holds."""
    if not BOXES[Country.GB][0].covers(lon, lat) or is_irish_side(lon, lat):
        return False
    latitudes, longitudes = zip(*_GRID_BEGINS, strict=True)
    return lon >= float(np.interp(lat, latitudes, longitudes))


def is_in(country: Country, lon: float, lat: float) -> bool:
    """True if the place may lie in the country (boxes, generous); always true for `OTHER`."""
    if country in BRITISH:
        return is_british_side(lon, lat)
    if country in IRISH:
        return is_irish_side(lon, lat)
    return country is Country.OTHER or any(box.covers(lon, lat) for box in BOXES[country])


def grid_for(country: Country, lon: float, lat: float) -> System:
    """The grid that names squares at this place: the national one where it holds, MGRS elsewhere."""
    if country in BRITISH and is_british_side(lon, lat):
        return System.NATIONAL_GRID
    if country in IRISH and is_irish_side(lon, lat):
        return System.IRISH_GRID
    return System.MGRS
