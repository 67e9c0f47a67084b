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
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(32)


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
    flat = Local(lon, lat).to_metres(shape)
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
    """Signed share of a ring in units of sigma: each edge adds the sector it subtends less the part beyond
    it.

    With h the distance of the edge's line and a the angle from its foot, the sector from the centre to the
    edge holds the integral of (1 - exp(-h^2 / 2 cos^2 a)) over a, divided by 2 pi.
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
    a1, a2 = np.arctan2(near, h), np.arctan2(far, h)
    return float((np.sign(height[keep]) * _sector(h, a1, a2)).sum() / (2 * np.pi))


def _sector(h: Floats, a1: Floats, a2: Floats) -> Floats:
    """The integral of 1 - exp(-h^2 / (2 cos^2 a)) from a1 to a2 by Gauss and Legendre.

    The integrand changes fast only where tan a is about 1/h, so the range is cut there and in the middle.
    """
    total = np.zeros_like(h)
    bend = np.arctan2(1.0, h)
    cuts = [a1, *(np.clip(c, a1, a2) for c in (-bend, np.zeros_like(h), bend)), a2]
    for left, right in pairwise(cuts):
        half = (right - left) / 2
        angles = (left + right)[:, None] / 2 + half[:, None] * _NODES
        values = -np.expm1(-0.5 * (h[:, None] / np.cos(angles)) ** 2)
        total += half * (values @ _WEIGHTS)
    return total
