"""How well a position is known, as a 95 % radius, and the squares that say no more than that.

For a circular normal error: r50 = 1.1774 s, rms = 1.4142 s, r68 = 1.5096 s, r95 = 2.4477 s.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from geo.areas import Country, System, grid_for
from geo.errors import GeoError
from geo.letters import (
    BRITISH_SQUARES,
    FIGURES_SIZE_M,
    IRISH_SQUARES,
    british_letters,
    irish_letter,
    reference,
)
from geo.transform import Place, irish_grid_place, national_grid_place, to_irish_grid, to_national_grid
from geo.utm import UtmPoint, band_at, from_utm, mgrs_reference, to_utm
from tongue import say as _

R95_PER_SIGMA = math.sqrt(-2 * math.log(0.05))
SQUARE_R95 = 0.599
"""95 % radius about the centre of a square of side 1 in which a point may lie anywhere."""
FRAME_M = 0.9
"""How far the satellites' frame has drifted from ETRS89: 0.25 m in 1999 and 25 mm a year, so 0.9 m in 2025.
"""
RANGE_ERROR_M = 3.0
"""Rms error of one ranging for a civil receiver, common practice; multiplied by the dilution it gives rms
metres.
"""


class Measure(StrEnum):
    """What a device's accuracy figure means."""

    R95 = "r95"
    R68 = "r68"
    RMS = "rms"
    CEP50 = "cep50"
    SIGMA = "sigma"
    HDOP = "hdop"


_PER_SIGMA = {
    Measure.R95: R95_PER_SIGMA,
    Measure.R68: math.sqrt(-2 * math.log(0.32)),
    Measure.RMS: math.sqrt(2),
    Measure.CEP50: math.sqrt(2 * math.log(2)),
    Measure.SIGMA: 1.0,
}


def to_r95(value: float, measure: Measure) -> float:
    """The 95 % radius in metres of an accuracy figure. An HDOP is unitless and gives an estimate only.

    Raises GeoError for a negative or missing number. Browsers report R95 (W3C Geolocation), Android R68.
    """
    if not math.isfinite(value) or value < 0:
        raise GeoError(
            _("Accuracy %(value)s is not a distance") % {"value": value},
            value=value,
            remedy=_("give metres of zero or more"),
        )
    if measure is Measure.HDOP:
        return value * RANGE_ERROR_M * R95_PER_SIGMA / _PER_SIGMA[Measure.RMS]
    return value * R95_PER_SIGMA / _PER_SIGMA[measure]


def combined_accuracy_m(*r95_m: float) -> float:
    """The 95 % radius of independent errors together: the root of the sum of squares."""
    return math.sqrt(math.fsum(r * r for r in r95_m))


def square_accuracy_m(size_m: float) -> float:
    """The 95 % radius about its centre of a point known only to lie in a square of this side."""
    return SQUARE_R95 * size_m


@dataclass(frozen=True)
class Square:
    """One cell of a grid: reference, closed counter-clockwise lon/lat ring, centre and side in metres."""

    label: str
    ring: tuple[tuple[float, float], ...]
    centre_lon: float
    centre_lat: float
    size_m: float


def square_of(lon: float, lat: float, size_m: float, country: Country) -> Square:
    """The cell of the country's grid that holds the place: every place in the cell gives the very same
    Square.

    Truncation is not random, so no number of looks at the same find can be averaged back to the findspot.
    Raises GeoError unless `size_m` is 1, 10, 100, 1000, 10000 or 100000.
    """
    figures = next((f for f, size in FIGURES_SIZE_M.items() if size == size_m), None)
    if figures is None:
        raise GeoError(
            _("A square of %(size_m)s m is not a cell of the grid") % {"size_m": f"{size_m:g}"},
            value=size_m,
            remedy="use 1, 10, 100, 1000, 10000 or 100000 metres",
        )
    system = grid_for(country, lon, lat)
    if system is System.NATIONAL_GRID:
        point = to_national_grid(lon, lat)
        x, y = _corner(point.easting, point.northing, size_m)
        letters = british_letters(x, y)
        label = reference(letters, x, y, figures) if letters in BRITISH_SQUARES else ""
        return _square(label, x, y, size_m, national_grid_place)
    if system is System.IRISH_GRID:
        point = to_irish_grid(lon, lat)
        x, y = _corner(point.easting, point.northing, size_m)
        letters = irish_letter(x, y)
        label = reference(letters, x, y, figures) if letters in IRISH_SQUARES else ""
        return _square(label, x, y, size_m, irish_grid_place)
    return _utm_square(lon, lat, size_m, figures)


def _utm_square(lon: float, lat: float, size_m: float, figures: int) -> Square:
    point = to_utm(lon, lat)
    x, y = _corner(point.easting, point.northing, size_m)

    def place(east: float, north: float) -> Place:
        # A 100 km cell may reach past the range in which typed UTM metres are believed.
        return from_utm(point.zone, min(east, 899_999.0), min(north, 9_999_999.0), south=lat < 0)

    # The band letter of the cell's middle: the find's own would tell which side of a band's edge it lies.
    middle = place(x + size_m / 2, y + size_m / 2)
    cell = UtmPoint(point.zone, band_at(middle.lat), x, y)
    return _square(mgrs_reference(cell, figures), x, y, size_m, place)


def _corner(easting: float, northing: float, size_m: float) -> tuple[float, float]:
    return math.floor(easting / size_m) * size_m, math.floor(northing / size_m) * size_m


def _square(label: str, x: float, y: float, size_m: float, place: Callable[[float, float], Place]) -> Square:
    """The cell with this corner. Without a label, far out at sea where no map has letters, its middle stands for it."""
    corners = ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0))
    ring = tuple((p.lon, p.lat) for p in (place(x + i * size_m, y + j * size_m) for i, j in corners))
    centre = place(x + size_m / 2, y + size_m / 2)
    said = label or f"{centre.lat:.{_decimals(size_m)}f}, {centre.lon:.{_decimals(size_m)}f}"
    return Square(said, ring, centre.lon, centre.lat, size_m)


def _decimals(size_m: float) -> int:
    """As many as keep a rounded middle within its own square: a tenth of its side (a degree is some 100 km)."""
    return max(0, 6 - round(math.log10(size_m)))
