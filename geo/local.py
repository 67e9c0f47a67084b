"""A flat metre grid around one site: transverse Mercator, areas true to 0.1 ppm within 5 km."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from pyproj import Transformer
from pyproj.enums import TransformDirection

Floats = NDArray[np.float64]


@lru_cache(maxsize=512)
def _transformer(lon0: float, lat0: float) -> Transformer:
    return Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
        f"+step +proj=tmerc +lat_0={lat0!r} +lon_0={lon0!r} +k=1 +ellps=WGS84"
    )


@dataclass(frozen=True)
class Local:
    """Metres east and north of one origin in degrees. Keep the origin with the site, or rasters will not line
    up.
    """

    lon0: float
    lat0: float

    @classmethod
    def around(cls, geometry: shapely.Geometry) -> "Local":
        """A grid at the middle of the bounding box of a lon/lat geometry, rounded to 1e-5 degrees (about 1
        m).
        """
        west, south, east, north = geometry.bounds
        return cls(round((west + east) / 2, 5), round((south + north) / 2, 5))

    def forward(self, lon: ArrayLike, lat: ArrayLike) -> tuple[Floats, Floats]:
        """Degrees to metres, any equal shapes."""
        x, y = _transformer(self.lon0, self.lat0).transform(np.asarray(lon, float), np.asarray(lat, float))
        return np.asarray(x, dtype=float), np.asarray(y, dtype=float)

    def inverse(self, x_m: ArrayLike, y_m: ArrayLike) -> tuple[Floats, Floats]:
        """Metres to degrees, any equal shapes."""
        lon, lat = _transformer(self.lon0, self.lat0).transform(
            np.asarray(x_m, float), np.asarray(y_m, float), direction=TransformDirection.INVERSE
        )
        return np.asarray(lon, dtype=float), np.asarray(lat, dtype=float)

    def to_metres(self, geometry: shapely.Geometry) -> Any:
        """The lon/lat geometry in metres."""
        return shapely.transform(geometry, lambda c: np.column_stack(self.forward(c[:, 0], c[:, 1])))

    def to_degrees(self, geometry: shapely.Geometry) -> Any:
        """The metre geometry in lon/lat."""
        return shapely.transform(geometry, lambda c: np.column_stack(self.inverse(c[:, 0], c[:, 1])))
