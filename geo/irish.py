"""The Irish Grid by the survey's own polynomial (183 points, 0.4 m at 95 %), which PROJ does not carry.

Source: Ordnance Survey, Transformations and OSGM15 User Guide v1.3 (2020), table 2; EPSG operation 1041
(method 9648). The guide's expansion of the longitude shift prints A30 where B30 is meant; EPSG's example and
the survey's station list both prove B30.
"""

from functools import cache

import numpy as np
from numpy.typing import ArrayLike
from pyproj import Transformer
from pyproj.enums import TransformDirection

from geo.local import Floats

IRISH_ACCURACY_M = 0.4
"""95 % of points, as the survey states it."""

# Arc-seconds; row i, column j multiplies U^i V^j with U = (lat - 53.5) / 10 and V = (lon + 7.7) / 10.
_LAT_SHIFT = np.array(
    [
        [0.763, 0.123, 0.183, -0.374],
        [-4.487, -0.515, 0.414, 13.110],
        [0.215, -0.570, 5.703, 113.743],
        [-0.265, 2.852, -61.678, -265.898],
    ]
)
_LON_SHIFT = np.array(
    [
        [-2.810, -4.680, 0.170, 2.163],
        [-0.341, -0.119, 3.913, 18.867],
        [1.196, 4.877, -27.795, -284.294],
        [-0.887, -46.666, -95.377, -853.950],
    ]
)
_ITERATIONS = 8


@cache
def _projection() -> Transformer:
    """TM75 degrees to Irish Grid metres: a pure projection, so that no datum can be guessed."""
    return Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
        "+step +proj=tmerc +lat_0=53.5 +lon_0=-8 +k=1.000035 "
        "+x_0=200000 +y_0=250000 +a=6377340.189 +b=6356034.447"
    )


def datum_shift(lon: ArrayLike, lat: ArrayLike) -> tuple[Floats, Floats]:
    """Degrees to add to TM75 longitude and latitude to reach ETRS89."""
    u = 0.1 * (np.asarray(lat, float) - 53.5)
    v = 0.1 * (np.asarray(lon, float) + 7.7)
    d_lon = np.polynomial.polynomial.polyval2d(u, v, _LON_SHIFT) / 3600
    d_lat = np.polynomial.polynomial.polyval2d(u, v, _LAT_SHIFT) / 3600
    return np.asarray(d_lon, dtype=float), np.asarray(d_lat, dtype=float)


def to_irish(lon: ArrayLike, lat: ArrayLike) -> tuple[Floats, Floats]:
    """ETRS89 degrees to Irish Grid metres. The polynomial is undone by fixed-point iteration."""
    lon_e, lat_e = np.asarray(lon, float), np.asarray(lat, float)
    lon_t, lat_t = lon_e, lat_e
    for _ in range(_ITERATIONS):
        d_lon, d_lat = datum_shift(lon_t, lat_t)
        lon_t, lat_t = lon_e - d_lon, lat_e - d_lat
    east, north = _projection().transform(lon_t, lat_t)
    return np.asarray(east, dtype=float), np.asarray(north, dtype=float)


def from_irish(easting: ArrayLike, northing: ArrayLike) -> tuple[Floats, Floats]:
    """Irish Grid metres to ETRS89 degrees."""
    lon_t, lat_t = _projection().transform(
        np.asarray(easting, float), np.asarray(northing, float), direction=TransformDirection.INVERSE
    )
    d_lon, d_lat = datum_shift(lon_t, lat_t)
    return lon_t + d_lon, lat_t + d_lat
