"""OSTN15, the official ETRS89 to National Grid transformation, behind two functions so that it can be swapped.

convertbng carries the published 1 km grid of shifts; a machine without its wheels needs only this file rewritten.
Outside the grid both functions give NaN, never a guess. Its own way in from degrees is not used: a box of degrees
in it leaves out St Agnes in Scilly and the north of Unst, which the grid covers. So the degrees are projected by
PROJ (GRS80 on the National Grid's projection, as the guide says) and only the shifts come from there.

The grid of shifts, and the polynomial in geo/irish.py: © Copyright and database rights Ordnance Survey Limited 2016,
© Crown copyright and database rights Land & Property Services 2016 and/or © Ordnance Survey Ireland, 2016. All rights
reserved. (The notice that their BSD licence asks for.)

Source: Ordnance Survey, Transformations and OSGM15 User Guide, v1.3 (2020).
"""

from functools import cache

import numpy as np
from convertbng import cutil
from numpy.typing import ArrayLike
from pyproj import Transformer

from geo.local import Floats

_ETRS89_ON_THE_GRID = (
    "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
    "+step +proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=GRS80"
)


@cache
def _projection() -> Transformer:
    return Transformer.from_pipeline(_ETRS89_ON_THE_GRID)


def to_osgb36(lon: ArrayLike, lat: ArrayLike) -> tuple[Floats, Floats]:
    """ETRS89 degrees to National Grid metres, NaN outside OSTN15. One-dimensional arrays."""
    x, y = _projection().transform(
        np.atleast_1d(np.asarray(lon, float)), np.atleast_1d(np.asarray(lat, float))
    )
    inside = np.isfinite(x) & np.isfinite(y)
    east, north = cutil.convert_etrs89_to_osgb36(np.where(inside, x, -1e6), np.where(inside, y, -1e6))
    return np.asarray(east, dtype=float), np.asarray(north, dtype=float)


def from_osgb36(easting: ArrayLike, northing: ArrayLike) -> tuple[Floats, Floats]:
    """National Grid metres to ETRS89 degrees, NaN outside OSTN15. One-dimensional arrays.

    The library's own inverse is up to 5 mm out in the far west; one more turn against the exact forward mends
    it.
    """
    e, n = np.atleast_1d(np.asarray(easting, float)), np.atleast_1d(np.asarray(northing, float))
    lon, lat = cutil.convert_lonlat(e, n)
    e_back, n_back = to_osgb36(lon, lat)
    lon2, lat2 = cutil.convert_lonlat(2 * e - e_back, 2 * n - n_back)
    return np.asarray(lon2, dtype=float), np.asarray(lat2, dtype=float)
