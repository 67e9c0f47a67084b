"""How sites lie to protected places: which they touch, which come within the margin, and how far."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import shapely

from geo.local import Local
from geo.measure import to_shape
from permissions.models import ProtectedLayer, ProtectedNear, ProtectedPlace, Site

_DEGREE_M = 111_000.0
_TOUCH_M = 0.5
"""Outlines this close share an edge: both are drawn no better than that."""


@dataclass(frozen=True)
class Lie:
    """One protected place as it lies to a site: metres between the outlines, 0 where they meet."""

    place: ProtectedPlace
    distance_m: float

    @property
    def relation(self) -> str:
        touches = self.distance_m <= _TOUCH_M
        return ProtectedNear.Relation.TOUCHES if touches else ProtectedNear.Relation.IN_BUFFER


class PlaceIndex:
    """Protected places of one layer or several in a tree of boxes, each with its margin in metres."""

    def __init__(self, places: Sequence[tuple[ProtectedPlace, float]]) -> None:
        self._places = places
        self._shapes = np.array([to_shape(place.geometry) for place, _ in places], dtype=object)
        self._tree = shapely.STRtree(self._shapes)
        self._widest = max((margin for _, margin in places), default=0.0)

    def near(self, boundary: Any) -> list[Lie]:
        """The places that touch a boundary (GeoJSON) or come within their own margin of it."""
        ground = to_shape(boundary)
        if ground.is_empty:
            return []
        hits = sorted(self._tree.query(shapely.box(*_wider(ground.bounds, self._widest))))
        if not hits:
            return []
        local = Local.around(ground)
        flat = local.to_metres(ground)
        lies = [Lie(self._places[i][0], float(flat.distance(local.to_metres(self._shapes[i])))) for i in hits]
        margins = (self._places[i][1] for i in hits)
        pairs = zip(lies, margins, strict=True)
        return [lie for lie, margin in pairs if lie.distance_m <= max(margin, _TOUCH_M)]


Box = tuple[float, float, float, float]


def _wider(box: Box, metres: float) -> Box:
    """The box (west, south, east, north) with so many metres more on each side."""
    west, south, east, north = box
    up = metres / _DEGREE_M
    aside = up / max(float(np.cos(np.radians(max(abs(south), abs(north))))), 0.01)
    return west - aside, south - up, east + aside, north + up


def places_round(site: Site, widest_m: float) -> list[tuple[ProtectedPlace, float]]:
    """The places of every layer whose boxes come within `widest_m` of the site's, each with its layer's margin."""
    if None in site.bounds:
        return []
    west, south, east, north = _wider(site.bounds, widest_m)  # type: ignore[arg-type]
    near = ProtectedPlace.objects.filter(min_lat__lte=north, max_lat__gte=south)
    near = near.filter(min_lon__lte=east, max_lon__gte=west).select_related("layer")
    return [(place, place.layer.buffer_m) for place in near]


def rows_for(site: Site, lies: Iterable[Lie]) -> list[ProtectedNear]:
    """What is kept of them."""
    return [
        ProtectedNear(site=site, place=lie.place, relation=lie.relation, distance_m=lie.distance_m)
        for lie in lies
    ]


def layers_checked_on(checks: Sequence[ProtectedLayer], site: Site) -> date | None:
    """The day that stands as the yearly check of a site: the oldest data of the layers that count as the check.

    None where there are none, or where one of them does not cover the site: what it would show is not known.
    """
    if not checks or not all(_covers(layer, site) for layer in checks):
        return None
    return min(layer.data_on for layer in checks)


def _covers(layer: ProtectedLayer, site: Site) -> bool:
    if site.min_lat is None or site.min_lon is None or site.max_lat is None or site.max_lon is None:
        return False
    upright = layer.min_lat <= site.min_lat and site.max_lat <= layer.max_lat
    return upright and layer.min_lon <= site.min_lon and site.max_lon <= layer.max_lon
