"""Which rings are ground and which are holes, where the file lists them without saying."""

from typing import Any

import numpy as np
import shapely

from geo.files.model import FileError, Tally
from tongue import figure
from tongue import say as _

Ring = np.ndarray[Any, Any]


def polygons_from_rings(rings: list[Ring], number: int, tally: Tally) -> shapely.Geometry:
    """A Polygon or MultiPolygon of closed (n, 2) rings in any order.

    Judged by nesting, not by the way round, for many writers get that wrong: a ring inside an even number of
    others is ground, inside an odd number a hole. Raises FileError past the limit, as that test is quadratic.
    """
    good = [ring for ring in rings if is_ring(ring)]
    tally.count("short ring", len(rings) - len(good))
    if len(good) <= 1:
        return shapely.Polygon(good[0]) if good else shapely.Polygon()
    if len(good) > tally.limits.rings:
        raise FileError(
            _("Record %(number)s has %(good)s rings") % {"number": number, "good": figure(f"{len(good):,}")},
            value=len(good),
            remedy=_("split it into shapes of at most %(rings)s rings")
            % {"rings": figure(f"{tally.limits.rings:,}")},
        )
    parents = _parents(good)
    depth = _depths(parents)
    holes: dict[int, list[Ring]] = {}
    for inner in np.flatnonzero(depth % 2):
        holes.setdefault(int(parents[inner]), []).append(good[inner])
    grounds = [shapely.Polygon(good[i], holes.get(int(i), [])) for i in np.flatnonzero(depth % 2 == 0)]
    return shapely.MultiPolygon(grounds) if len(grounds) > 1 else grounds[0]


def is_ring(points: Ring) -> bool:
    """True if the points can be closed to a ring: three, or more with the first repeated."""
    return len(points) > 3 or (len(points) == 3 and bool((points[0] != points[-1]).any()))


def _parents(rings: list[Ring]) -> np.ndarray[Any, Any]:
    """For each ring the smallest larger ring round it, or -1. A point on the inside tells, so that rings may
    touch.
    """
    filled = np.array([shapely.Polygon(ring) for ring in rings], dtype=object)
    areas = shapely.area(filled)
    inner, outer = shapely.STRtree(filled).query(_inside_points(filled), predicate="within")
    larger = areas[outer] > areas[inner]
    inner, outer = inner[larger], outer[larger]
    order = np.lexsort((areas[outer], inner))
    first, where = np.unique(inner[order], return_index=True)
    parents = np.full(len(rings), -1)
    parents[first] = outer[order][where]
    return parents


def _inside_points(filled: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    try:
        return np.asarray(shapely.point_on_surface(filled), dtype=object)
    except shapely.errors.GEOSException:
        return np.asarray(shapely.get_point(shapely.get_exterior_ring(filled), 0), dtype=object)


def _depths(parents: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """How many rings lie round each. Areas grow upwards, so there is no way round in a circle."""
    depth, above = np.zeros(len(parents), dtype=int), parents.copy()
    while (above >= 0).any():
        depth += above >= 0
        above = np.where(above >= 0, parents[above], -1)
    return depth
