"""UTM zones and military grid squares on WGS84. Source: NGA.STND.0037 (UTM, UPS and MGRS), 2014."""

from dataclasses import dataclass

from pyproj.enums import TransformDirection

from geo.errors import PositionError
from geo.transform import PROJECTION_ACCURACY_M, Place, pipeline
from tongue import say as _

BANDS = "CDEFGHJKLMNPQRSTUVWX"
_COLUMNS = ("ABCDEFGH", "JKLMNPQR", "STUVWXYZ")
_ROWS = "ABCDEFGHJKLMNPQRSTUV"
_MAX_LAT, _MIN_LAT = 84.0, -80.0


@dataclass(frozen=True)
class UtmPoint:
    """Zone 1 to 60, latitude band, easting and northing in metres (false northing 10,000 km in the south)."""

    zone: int
    band: str
    easting: float
    northing: float


def _definition(zone: int, south: bool) -> str:
    return (
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
        f"+step +proj=utm +zone={zone} {'+south ' if south else ''}+ellps=WGS84"
    )


def band_at(lat: float) -> str:
    """The latitude band letter. Raises PositionError beyond 80 S and 84 N."""
    if not _MIN_LAT <= lat <= _MAX_LAT:
        raise PositionError(
            _("Latitude %(lat)s is outside UTM") % {"lat": f"{lat:g}"},
            value=lat,
            remedy=_("give a place between 80° south and 84° north"),
        )
    return BANDS[min(int((lat + 80) // 8), 19)]


def zone_at(lon: float, lat: float) -> int:
    """The UTM zone, with the exceptions of south-west Norway (32V) and Svalbard (31X to 37X)."""
    zone = min(int((lon + 180) // 6) + 1, 60)
    if 56 <= lat < 64 and 3 <= lon < 12:
        return 32
    if 72 <= lat <= _MAX_LAT and 0 <= lon < 42:
        return 31 if lon < 9 else 33 if lon < 21 else 35 if lon < 33 else 37
    return zone


def to_utm(lon: float, lat: float, zone: int | None = None) -> UtmPoint:
    """UTM metres of a WGS84 place, in its own zone unless another is asked for."""
    band = band_at(lat)
    zone = zone or zone_at(lon, lat)
    x, y = pipeline(_definition(zone, lat < 0)).transform(lon, lat)
    return UtmPoint(zone, band, float(x), float(y))


def from_utm(zone: int, easting: float, northing: float, *, south: bool = False) -> Place:
    """WGS84 of UTM metres. Raises PositionError for a zone, easting or northing that no place has."""
    if not 1 <= zone <= 60:
        raise PositionError(
            _("UTM zone %(zone)s does not exist") % {"zone": zone},
            value=zone,
            remedy=_("give a zone from 1 to 60"),
        )
    if not 100_000 <= easting < 900_000 or not 0 <= northing <= 10_000_000:
        raise PositionError(
            _("UTM %(easting)s %(northing)s is out of range")
            % {"easting": f"{easting:g}", "northing": f"{northing:g}"},
            value=(easting, northing),
            remedy=_(
                "give the easting (100000 to 899999) first, then the northing (0 to 10000000), in metres"
            ),
        )
    lon, lat = pipeline(_definition(zone, south)).transform(
        easting, northing, direction=TransformDirection.INVERSE
    )
    return Place(float(lon), float(lat), f"UTM zone {zone} projection", PROJECTION_ACCURACY_M)


def square_letters(zone: int, easting: float, northing: float) -> str:
    """The two letters of the 100 km square."""
    column = _COLUMNS[(zone - 1) % 3][int(easting // 100_000) - 1]
    row = int(northing // 100_000) + (0 if zone % 2 else 5)
    return column + _ROWS[row % 20]


def square_origin(zone: int, band: str, letters: str) -> tuple[float, float]:
    """South-west corner of a 100 km square, in the UTM metres of its hemisphere.

    Raises PositionError for letters that the zone does not have or that do not meet the band.
    """
    column = _COLUMNS[(zone - 1) % 3].find(letters[0])
    if column < 0:
        raise PositionError(
            _("Square %(letters)s does not exist in zone %(zone)s") % {"letters": letters, "zone": zone},
            value=letters,
            remedy=_("check the zone and the letters"),
        )
    easting = (column + 1) * 100_000.0
    south = band < "N"
    row = (_ROWS.index(letters[1]) - (0 if zone % 2 else 5)) % 20
    bottom = -80 + 8 * BANDS.index(band)
    top = bottom + (12 if band == "X" else 8)
    for cycle in range(5):
        northing = (row + 20 * cycle) * 100_000.0
        if northing < 10_000_000 and _meets(zone, easting, northing, south, bottom, top):
            return easting, northing
    raise PositionError(
        _("Square %(letters)s does not lie in band %(band)s") % {"letters": letters, "band": band},
        value=letters,
        remedy=_("check the band letter and the square"),
    )


def _meets(zone: int, easting: float, northing: float, south: bool, bottom: float, top: float) -> bool:
    """True if the 100 km square reaches into the band: judged on its corners, edges bulge by under 0.1
    degree.
    """
    lats = [
        from_utm(zone, min(easting + dx, 899_999), min(northing + dy, 9_999_999), south=south).lat
        for dx in (0, 100_000)
        for dy in (0, 99_999)
    ]
    return max(lats) >= bottom and min(lats) < top


def mgrs_reference(point: UtmPoint, figures: int) -> str:
    """A spaced, truncated reference such as '38S MB 4414 8470' with 0 to 10 figures."""
    half = figures // 2
    parts = [f"{point.zone}{point.band}", square_letters(point.zone, point.easting, point.northing)]
    if half:
        parts += [f"{int(v % 100_000):05d}"[:half] for v in (point.easting, point.northing)]
    return " ".join(parts)
