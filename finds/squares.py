"""The redacted place of a find, kept beside it: the middle of its 1 km square, which every member may know.

Maps and counts for members read these columns and nothing finer, so that no frame, zoom or filter on a place can
be asked of a point that they may not see.
"""

from typing import Any

from django.utils.translation import gettext as _

from geo.errors import GeoError
from geo.morton import CELL_ZOOM, cell_of
from geo.position import Country
from geo.precision import Square, square_of
from people.sensitivity import SQUARE_M

WIDE_ZOOM = 10  # of the cells that wide maps are counted by
WIDE_SHIFT = 2 * (CELL_ZOOM - WIDE_ZOOM)
COLUMNS = ("cell", "wide_cell", "square_lon", "square_lat", "square_cell", "square_wide_cell")
NOWHERE: dict[str, Any] = dict.fromkeys(COLUMNS)
_SAME_DEG = 1e-7  # a centimetre: two grids' squares never have the same middle
_GRIDS = (Country.GB, Country.IE, Country.OTHER)


def map_columns(lon: float | None, lat: float | None, country: Country) -> dict[str, Any]:
    """The columns of Find that follow from its place: its own map cell, and its square's middle and cell."""
    if lon is None or lat is None:
        return dict(NOWHERE)
    square = square_of(lon, lat, SQUARE_M, country)
    middle = square.centre_lon, square.centre_lat
    cell, square_cell = cell_of(lon, lat), cell_of(*middle)
    values = (cell, cell >> WIDE_SHIFT, *middle, square_cell, square_cell >> WIDE_SHIFT)
    return dict(zip(COLUMNS, values, strict=True))


def square_at(middle_lon: float, middle_lat: float) -> Square:
    """The square whose middle this is, on whichever grid. Raises GeoError where it is the middle of none."""
    for country in _GRIDS:
        square = square_of(middle_lon, middle_lat, SQUARE_M, country)
        if max(abs(square.centre_lon - middle_lon), abs(square.centre_lat - middle_lat)) < _SAME_DEG:
            return square
    raise GeoError(
        _("%(middle_lat)s, %(middle_lon)s is not the middle of a square")
        % {"middle_lat": f"{middle_lat:.4f}", "middle_lon": f"{middle_lon:.4f}"},
        value=(middle_lon, middle_lat),
        remedy=_("give a middle that map_columns made"),
    )
