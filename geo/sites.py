"""Which site does each find lie on, for many finds at once: an index in memory, built for one job and then
dropped.
"""

from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

import numpy as np
import shapely
from numpy.typing import ArrayLike

from geo.measure import Shape, to_shape

Key = TypeVar("Key", bound=Hashable)
_DEGREE_M = 111_200.0


class SiteIndex(Generic[Key]):
    """Sites by key in a tree of bounding boxes. Boundaries change, so never keep one across requests."""

    def __init__(self, sites: Iterable[tuple[Key, Shape]]) -> None:
        """`sites` gives each key with its boundary in lon/lat, as GeoJSON or as a shape."""
        pairs = [(key, to_shape(boundary)) for key, boundary in sites]
        self._keys = [key for key, _ in pairs]
        self._shapes = np.array([shape for _, shape in pairs], dtype=object)
        shapely.prepare(self._shapes)
        self._tree = shapely.STRtree(self._shapes)

    def __len__(self) -> int:
        return len(self._keys)

    def at(self, lon: float, lat: float) -> list[Key]:
        """Every site that covers the place, its edge included, in the order given."""
        return [
            self._keys[i] for i in sorted(self._tree.query(shapely.Point(lon, lat), predicate="intersects"))
        ]

    def near(self, lon: float, lat: float, metres: float) -> list[Key]:
        """Every site whose bounding box comes within so many metres: the ones worth a closer look."""
        d_lat = metres / _DEGREE_M
        d_lon = d_lat / max(np.cos(np.radians(lat)), 0.01)
        box = shapely.box(lon - d_lon, lat - d_lat, lon + d_lon, lat + d_lat)
        return [self._keys[i] for i in sorted(self._tree.query(box))]

    def find_all(self, lons: ArrayLike, lats: ArrayLike) -> list[Key | None]:
        """For each place the first site given that covers it, or None. Two equal one-dimensional arrays of
        degrees.
        """
        points = shapely.points(np.asarray(lons, float), np.asarray(lats, float))
        which, site = self._tree.query(points, predicate="intersects")
        first = np.full(len(points), len(self._keys))
        np.minimum.at(first, which, site)
        return [self._keys[i] if i < len(self._keys) else None for i in first]
