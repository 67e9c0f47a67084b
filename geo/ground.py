"""The ground that may be searched: a site's boundary less its no-go areas, in metres."""

from collections.abc import Iterable
from typing import Any

import shapely

from geo.errors import GeoError
from geo.local import Local
from tongue import say as _

DUST_M2 = 0.05  # what two outlines drawn along one hedge leave between them by rounding


class GroundError(GeoError):
    """A boundary that leaves no ground to search."""


def drawn(geometry: Any) -> Any:
    """The geometry itself if it is a Polygon or MultiPolygon with something in it. Raises GroundError."""
    if geometry.geom_type not in {"Polygon", "MultiPolygon"} or geometry.is_empty:
        kind = (
            _("an empty %(geom_type)s") % {"geom_type": geometry.geom_type}
            if geometry.is_empty
            else f"a {geometry.geom_type}"
        )
        what = _("A boundary drawn as %(kind)s holds no ground") % {"kind": kind}
        raise GroundError(what, value=geometry.geom_type, remedy=_("draw a closed outline"))
    return geometry


def searchable(local: Local, geometry: Any, no_go: Iterable[Any] = ()) -> Any:
    """The ground in metres on `local` as a valid MultiPolygon, less the no-go areas (lon/lat polygons).

    Raises GroundError when nothing is left.
    """
    ground = _valid(local.to_metres(drawn(geometry)))
    shut = [_valid(local.to_metres(area)) for area in no_go]
    if shut:
        ground = shapely.difference(ground, shapely.union_all(shut))
    parts = [
        part for part in shapely.get_parts(ground) if part.geom_type == "Polygon" and part.area > DUST_M2
    ]
    if not parts:
        what = _("No ground is left to search inside this boundary")
        raise GroundError(what, value=0, remedy=_("check the boundary and its no-go areas"))
    return shapely.MultiPolygon(parts)


def _valid(geometry: Any) -> Any:
    if geometry.is_valid:
        return geometry
    return shapely.make_valid(geometry, method="structure", keep_collapsed=False)
