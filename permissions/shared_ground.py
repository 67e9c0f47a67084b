"""Which sites share ground with shapes that are not saved yet, and the shapes with each other."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from django.utils.translation import gettext as _

from geo.measure import area_m2, overlap, to_shape
from permissions.models import Site
from permissions.models.site import SiteQuerySet
from tongue import figure

EDGE_ACCURACY_M = 3.0
"""How well a hand-drawn edge is known (house rule): neighbours that share less than this are not overlapping."""
_SAME_SHARE = 0.8


@dataclass(frozen=True)
class Shared:
    """Ground shared with `other`: a site, or the shape with that number. `same`: it is nearly all of both."""

    other: "Site | int"
    shared_m2: float
    same: bool


def shared_by(geometries: Sequence[Any], sites: SiteQuerySet) -> list[list[Shared]]:
    """For each GeoJSON geometry what it shares ground with, the largest part first. One query."""
    if not geometries:
        return []
    shapes = [to_shape(geometry) for geometry in geometries]
    rows = _near(shapes, sites)
    others: list[tuple[Site | int, shapely.Geometry]] = [(row, to_shape(row.boundary)) for row in rows]
    others += [(number, shape) for number, shape in enumerate(shapes, 1)]
    tree = shapely.STRtree([shape for _rest, shape in others])
    found: list[list[Shared]] = []
    for number, shape in enumerate(shapes, 1):
        near = (others[i] for i in sorted(tree.query(shape, predicate="intersects")))
        pairs = ((other, line) for other, line in near if other != number)
        shared = [s for other, line in pairs if (s := _shared(shape, other, line))]
        found.append(sorted(shared, key=lambda s: -s.shared_m2))
    return found


def _near(shapes: list[shapely.Geometry], sites: SiteQuerySet) -> Iterable[Site]:
    west, south, east, north = (float(v) for v in shapely.total_bounds(np.asarray(shapes, dtype=object)))
    near = sites.filter(min_lat__lt=north, max_lat__gt=south, min_lon__lt=east, max_lon__gt=west)
    return [site for site in near if site.boundary]


def _shared(shape: shapely.Geometry, other: Site | int, line: shapely.Geometry) -> Shared | None:
    both = overlap(shape, line, accuracy_m=EDGE_ACCURACY_M)
    if not both.counts:
        return None
    return Shared(other, both.area_m2, both.area_m2 > _SAME_SHARE * max(area_m2(shape), area_m2(line)))


def shared_words(shared: Iterable[Shared]) -> list[str]:
    """Sentences naming the other and the shared area."""
    return [
        _("It shares %(value)s ha with %(name)s.")
        % {"value": figure(f"{s.shared_m2 / 10000:.2f}"), "name": _name(s.other)}
        for s in shared
    ]


def _name(other: Site | int) -> str:
    return _("shape %(other)s of this file") % {"other": other} if isinstance(other, int) else str(other)
