"""Was it inside? The probability that a position of known accuracy lies within a boundary with holes.

The integral of a circular normal over any polygon is a sum over its edges. References: Owen 1956 (the T
function); DiDonato and Hageman 1980 (bivariate normal over arbitrary polygons); Abramowitz and Stegun 26.9.
"""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
import shapely

from geo.local import Floats, Local
from geo.measure import Shape, to_shape
from geo.precision import R95_PER_SIGMA

INSIDE_FROM = 0.95
OUTSIDE_TO = 0.05
_FAR_SIGMAS = 4.0
_LEAST_ACCURACY_M = 0.01
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_REACH = 9.0


class Verdict(StrEnum):
    """What can be said of a find and a boundary."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    UNCERTAIN = "uncertain"


@dataclass(frozen=True)
class Judgement:
    """The verdict, the probability of lying inside, and metres to the boundary (negative inside)."""

    verdict: Verdict
    probability: float
    distance_m: float


def judge_inside(boundary: Shape, lon: float, lat: float, accuracy_m: float) -> Judgement:
    """Inside from 95 %, outside to 5 %, uncertain between.

    `boundary` is a polygon in lon/lat; `accuracy_m` the 95 % radius of the position. Beyond 4 standard
    deviations from the line the answer is plain and nothing is integrated.
    """
    shape = to_shape(boundary)
    if shape.is_empty:
        return Judgement(Verdict.OUTSIDE, 0.0, float("inf"))
    local = Local.around(shape)  # the site's own, so that many finds share one projection
    here = np.column_stack(local.forward([lon], [lat]))
    flat = shapely.transform(local.to_metres(shape), lambda c: c - here)
    origin = shapely.Point(0.0, 0.0)
    within = bool(shapely.covers(flat, origin))
    gap = float(shapely.distance(flat.boundary, origin))
    sigma = max(accuracy_m, _LEAST_ACCURACY_M) / R95_PER_SIGMA
    far = gap > _FAR_SIGMAS * sigma
    probability = float(within) if far else probability_inside(flat, sigma)
    return Judgement(_verdict(probability), probability, -gap if within else gap)


def _verdict(probability: float) -> Verdict:
    if probability >= INSIDE_FROM:
        return Verdict.INSIDE
    return Verdict.OUTSIDE if probability <= OUTSIDE_TO else Verdict.UNCERTAIN


def probability_inside(flat: shapely.Geometry, sigma_m: float) -> float:
    """The share of a circular normal about (0, 0) that falls in the polygons of `flat`, all in metres."""
    oriented = shapely.orient_polygons(flat, exterior_cw=False)
    total = 0.0
    for polygon in shapely.get_parts(oriented):
        for ring in (polygon.exterior, *polygon.interiors):
            total += _ring_share(shapely.get_coordinates(ring) / sigma_m)
    return float(min(max(total, 0.0), 1.0))


def _ring_share(ring: Floats) -> float:
    """Signed share of a ring in units of sigma: each edge adds the mass of the triangle it makes with the
    centre.

    With h the distance of the edge's line and u the way along it from the foot, that mass is the integral
    over u of h (1 - exp(-(h^2 + u^2) / 2)) / (h^2 + u^2), divided by 2 pi.
    """
    start, end = ring[:-1], ring[1:]
    edge = end - start
    length = np.hypot(edge[:, 0], edge[:, 1])
    start, edge, length = start[length > 0], edge[length > 0], length[length > 0]
    unit = edge / length[:, None]
    height = start[:, 0] * unit[:, 1] - start[:, 1] * unit[:, 0]
    along = (start * unit).sum(axis=1)
    keep = np.abs(height) > 1e-12  # an edge on a line through the centre subtends nothing
    h, near, far = np.abs(height[keep]), along[keep], (along + length)[keep]
    return float((np.sign(height[keep]) * _triangle(h, near, far)).sum() / (2 * np.pi))


def _triangle(h: Floats, near: Floats, far: Floats) -> Floats:
    """The integral from `near` to `far`, to about 1e-12.

    Beyond 9 sigma the exponential is gone and the arc tangent is exact; within, the integrand is smooth for
    every h and Gauss and Legendre take it in four panels.
    """
    inner_near, inner_far = np.clip(near, -_REACH, _REACH), np.clip(far, -_REACH, _REACH)
    total: Floats = (
        np.arctan2(far, h) - np.arctan2(near, h) - (np.arctan2(inner_far, h) - np.arctan2(inner_near, h))
    )
    for low, high in pairwise((-_REACH, -_REACH / 2, 0.0, _REACH / 2, _REACH)):
        left, right = np.clip(inner_near, low, high), np.clip(inner_far, low, high)
        half = (right - left) / 2
        u = (left + right)[:, None] / 2 + half[:, None] * _NODES
        square = h[:, None] ** 2 + u**2
        total += half * h * ((-np.expm1(-square / 2) / square) @ _WEIGHTS)
    return total
