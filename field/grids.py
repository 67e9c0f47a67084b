"""Grids fitted round a site, so that a phone without signal can say a true grid reference.

The British shifts (OSTN15) are a table of over a megabyte and the Irish ones a long polynomial; over one farm both
are smooth, and a polynomial of a few terms says them to centimetres. Each fit tells its own worst residual. Pure.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Protocol

import numpy as np

from geo.areas import SYSTEM_NAMES, Country, System, grid_for
from geo.irish import IRISH_ACCURACY_M, to_irish
from geo.letters import BRITISH_SQUARES, IRISH_SQUARES, SQUARE_M, british_letters, irish_letter
from geo.local import Floats, Local
from geo.measure import to_shape
from geo.ostn import to_osgb36
from geo.precision import FRAME_M, combined_accuracy_m
from geo.transform import OSTN15_ACCURACY_M, PROJECTION_ACCURACY_M
from geo.utm import band_at, square_letters, to_utm, zone_at

MARGINS_M = (500.0, 3000.0)
"""The site with what lies round it, finely; then the way there and back, for whoever needs help at the gate."""
TOLERANCE_M = 0.1
DEGREES = (2, 3, 4, 5)
UNIT_DEG = 0.01
"""The polynomials run in hundredths of a degree from the middle, so that their terms are of like size."""
_DECIMALS = 5
_MOST_CUTS = 3
_NODES, _CHECKS = 13, 41
_BANDS = [*range(-80, 80, 8), 84]  # X is 12 degrees tall
_ZONES = range(-180, 181, 3)  # every edge there is, those of Norway and Svalbard too

Metres = Callable[[Floats, Floats], tuple[Floats, Floats]]
Box = tuple[float, float, float, float]


class Land(Protocol):
    """A site, as far as it is asked here."""

    @property
    def code(self) -> str: ...
    @property
    def country(self) -> Country: ...
    @property
    def boundary(self) -> Any: ...


@dataclass(frozen=True)
class Frame:
    """One grid: degrees to metres, the letters of a 100 km square ('' where it has none), and its 95 % radius."""

    name: str
    metres: Metres
    letters: Callable[[float, float], str]
    accuracy_m: float


def grid_fits(site: Land) -> list[dict[str, Any]]:
    """Fits for the phone, the finest first: it takes the first whose `box` [west, south, east, north] holds it.

    With u = (lon - lon0) / unit and v = (lat - lat0) / unit, the easting is e0 and the sum of m[0][k] times the
    terms u, v, u², uv, v², u³ … (by total degree, falling powers of u); the northing likewise with n0 and m[1].
    `squares` gives the letters by 'easting,northing' of a square in units of 100 km; a square that is not in it has
    no letters. `worst_m` is the largest residual met on a close net over the box; `accuracy_m` the 95 % radius
    of the grid itself and of the satellites' frame. Empty for a site without a boundary, across the 180th
    meridian or beyond every grid: there the phone gives degrees.
    """
    shape = to_shape(site.boundary) if site.boundary else None
    if shape is None or shape.is_empty:
        return []
    west, south, east, north = shape.bounds
    if east - west > 180:
        return []
    local = Local.around(shape)
    found = []
    for margin_m in MARGINS_M:
        lon, lat = local.inverse([-margin_m, margin_m], [-margin_m, margin_m])
        d_lon, d_lat = float(lon[1] - lon[0]) / 2, float(lat[1] - lat[0]) / 2
        whole = (west - d_lon, south - d_lat, east + d_lon, north + d_lat)
        found += [fit for box, frame in _frames(whole, site.country) for fit in _fits(box, frame)]
    return [{"site": site.code, **fit} for fit in found]


def _frames(box: Box, country: Country) -> Iterator[tuple[Box, Frame]]:
    """The grid of the box, or the box cut along the zones and bands of the military grid."""
    west, south, east, north = box
    system = grid_for(country, (west + east) / 2, (south + north) / 2)
    if system is System.NATIONAL_GRID:
        accuracy_m = combined_accuracy_m(OSTN15_ACCURACY_M, FRAME_M)
        yield box, Frame(SYSTEM_NAMES[system], to_osgb36, _british, accuracy_m)
    elif system is System.IRISH_GRID:
        accuracy_m = combined_accuracy_m(IRISH_ACCURACY_M, FRAME_M)
        yield box, Frame(SYSTEM_NAMES[system], to_irish, _irish, accuracy_m)
    else:
        for low, high in _between(south, north, _BANDS):
            for left, right in _between(west, east, _ZONES):
                yield (left, low, right, high), _military((left + right) / 2, (low + high) / 2)


def _between(low: float, high: float, edges: Any) -> Iterator[tuple[float, float]]:
    """From `low` to `high`, cut at the edges between; nothing beyond the first and the last edge."""
    low, high = max(low, edges[0]), min(high, edges[-1])
    return pairwise([low, *(float(edge) for edge in edges if low < edge < high), high] if low < high else [])


def _british(easting: float, northing: float) -> str:
    letters = british_letters(easting, northing) if easting >= 0 and northing >= 0 else ""
    return letters if letters in BRITISH_SQUARES else ""


def _irish(easting: float, northing: float) -> str:
    inside = 0 <= easting < 5 * SQUARE_M and 0 <= northing < 5 * SQUARE_M
    letter = irish_letter(easting, northing) if inside else ""
    return letter if letter in IRISH_SQUARES else ""


def _military(lon: float, lat: float) -> Frame:
    """UTM of the zone, written with the band and the letters of the square."""
    zone, band = zone_at(lon, lat), band_at(lat)

    def metres(lons: Floats, lats: Floats) -> tuple[Floats, Floats]:
        points = [to_utm(float(x), float(y), zone) for x, y in zip(lons, lats, strict=True)]
        return np.array([p.easting for p in points]), np.array([p.northing for p in points])

    def letters(easting: float, northing: float) -> str:
        return f"{zone}{band} {square_letters(zone, easting, northing)}"

    return Frame(SYSTEM_NAMES[System.MGRS], metres, letters, PROJECTION_ACCURACY_M)


def _fits(box: Box, frame: Frame, cuts: int = 0) -> Iterator[dict[str, Any]]:
    """One fit over the box, or four over its quarters where no polynomial is near enough."""
    fit = None
    for degree in DEGREES:
        fit = _fit(box, frame, degree)
        if fit is None or fit["worst_m"] < TOLERANCE_M:
            break
    if fit is None:
        return
    if fit["worst_m"] < TOLERANCE_M or cuts == _MOST_CUTS:
        yield fit
        return
    west, south, east, north = box
    lon, lat = (west + east) / 2, (south + north) / 2
    for left, right in ((west, lon), (lon, east)):
        for low, high in ((south, lat), (lat, north)):
            yield from _fits((left, low, right, high), frame, cuts + 1)


def _fit(box: Box, frame: Frame, degree: int) -> dict[str, Any] | None:
    """Least squares on Chebyshev's nodes, rounded as it is sent, then held against a close net.

    None where the grid has no value somewhere in the box.
    """
    west, south, east, north = box
    lon0, lat0 = round((west + east) / 2, 5), round((south + north) / 2, 5)
    lon, lat = _net(box, np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES))
    e, n = frame.metres(lon, lat)
    if not np.isfinite(e + n).all():
        return None
    terms = _terms((lon - lon0) / UNIT_DEG, (lat - lat0) / UNIT_DEG, degree)
    answer = np.linalg.lstsq(terms, np.column_stack([e, n]), rcond=None)[0].round(_DECIMALS)
    lon, lat = _net(box, np.linspace(-1 + 1e-9, 1 - 1e-9, _CHECKS))
    e, n = frame.metres(lon, lat)
    off = _terms((lon - lon0) / UNIT_DEG, (lat - lat0) / UNIT_DEG, degree) @ answer - np.column_stack([e, n])
    worst_m = float(np.hypot(off[:, 0], off[:, 1]).max())
    if not np.isfinite(worst_m):
        return None
    poor = worst_m if worst_m >= TOLERANCE_M else 0.0
    return {
        "name": frame.name,
        "box": [round(edge, 7) for edge in box],
        "lon0": lon0,
        "lat0": lat0,
        "unit": UNIT_DEG,
        "e0": float(answer[0, 0]),
        "n0": float(answer[0, 1]),
        "m": [answer[1:, 0].tolist(), answer[1:, 1].tolist()],
        "squares": _squares(e, n, frame),
        "worst_m": round(worst_m, 4),
        "accuracy_m": round(combined_accuracy_m(frame.accuracy_m, poor), 4),
    }


def _net(box: Box, at: Floats) -> tuple[Floats, Floats]:
    """Longitudes and latitudes of a net over the box; `at` runs from -1 to 1."""
    west, south, east, north = box
    lon, lat = np.meshgrid((west + east + (east - west) * at) / 2, (south + north + (north - south) * at) / 2)
    return lon.ravel(), lat.ravel()


def _terms(u: Floats, v: Floats, degree: int) -> Floats:
    """1, u, v, u², uv, v², … a column each."""
    return np.column_stack([u ** (n - j) * v**j for n in range(degree + 1) for j in range(n + 1)])


def _squares(e: Floats, n: Floats, frame: Frame) -> dict[str, str]:
    """The letters of every 100 km square that the box may reach."""
    columns = range(int(e.min() // SQUARE_M), int(e.max() // SQUARE_M) + 1)
    rows = range(int(n.min() // SQUARE_M), int(n.max() // SQUARE_M) + 1)
    named = {f"{i},{j}": frame.letters(i * SQUARE_M, j * SQUARE_M) for i in columns for j in rows}
    return {key: letters for key, letters in named.items() if letters}
