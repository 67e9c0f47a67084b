"""How thickly points lie, by kernels, and the same divided by the ground that was searched.

Source: B. W. Silverman, Density Estimation for Statistics and Data Analysis, 1986, sections 4.2 and 4.3; division
by the kernel's mass over searched ground is the edge correction of M. C. Jones, Simple boundary correction for
kernel density estimation, Statistics and Computing 3, 1993 (both from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geo.errors import GeoError

Floats = NDArray[np.float64]
Bits = NDArray[np.bool_]
Kernel = Callable[[Floats], Floats]

QUARTIC_OVER_GAUSSIAN = math.sqrt(8)
"""A quartic kernel of radius h spreads h/√8 each way; this many Gaussian bandwidths smooth alike."""
_ROWS = 256


def quartic(u: ArrayLike) -> Floats:
    """(3/π)(1 - u²)² within u ≤ 1, else 0: the height at a distance of u bandwidths. Its volume is 1.

    Source: Silverman 1986, equation 4.5 (K3 in two dimensions).
    """
    inside = np.clip(1 - np.square(np.asarray(u, dtype=float)), 0, None)
    return np.asarray(3 / math.pi * np.square(inside), dtype=float)


def silverman_m(points: ArrayLike) -> float:
    """A Gaussian bandwidth for points (n, 2) in metres: σ n^(-1/6), with σ² the mean of the two variances.

    0 for fewer than two points or points all in one place. Source: Silverman 1986, section 4.3.2: the factor
    (4/(d + 2))^(1/(d + 4)) is 1 for d = 2.
    """
    places = _places(points)
    if len(places) < 2:
        return 0.0
    sigma = math.sqrt(float(places.var(axis=0, ddof=1).mean()))
    return float(sigma * len(places) ** (-1 / 6))


def intensity(points: ArrayLike, at: ArrayLike, radius: float, kernel: Kernel = quartic) -> Floats:
    """Points per unit of area at the places `at` (m, 2): Σ K(d/h)/h², their number times their density.

    No division by ground searched: a hedge or a gap lowers it. `radius` is h, in the units of the points. Raises
    GeoError without a positive radius.
    """
    places, wanted = _places(points), _places(at)
    _check(1, radius)
    found = np.zeros(len(wanted))
    for start in range(0, len(wanted), _ROWS):
        part = wanted[start : start + _ROWS]
        apart = np.hypot(part[:, None, 0] - places[None, :, 0], part[:, None, 1] - places[None, :, 1])
        found[start : start + _ROWS] = kernel(apart / radius).sum(axis=1)
    return found / radius**2


def _places(points: ArrayLike) -> Floats:
    return np.asarray(points, dtype=float).reshape(-1, 2)


def _check(count: int, bandwidth: float) -> None:
    if not count:
        raise GeoError("There is no value to spread", value=count, remedy="give at least one")
    if not (math.isfinite(bandwidth) and bandwidth > 0):
        raise GeoError(f"A bandwidth of {bandwidth:g}", value=bandwidth, remedy="give more than 0")


@dataclass(frozen=True)
class Blocks:
    """A rectangle of square blocks over searched ground. `share` (rows, cols) is how much of each was covered, 0 to 1.

    `west`, `south` (metres) is the corner of block (0, 0), rows going north.
    """

    share: Floats
    west: float
    south: float
    side_m: float

    @property
    def middles(self) -> Floats:
        """The blocks' middles (rows × cols, 2), row by row."""
        rows, cols = self.share.shape
        x = self.west + (np.arange(cols) + 0.5) * self.side_m
        y = self.south + (np.arange(rows) + 0.5) * self.side_m
        return np.column_stack([np.tile(x, rows), np.repeat(y, cols)])


def density_over_ground(
    points: ArrayLike, blocks: Blocks, radius_m: float, kernel: Kernel = quartic
) -> Floats:
    """Points per square metre of ground covered, at each block's middle (rows, cols); NaN where none was covered.

    Σ K(d/h) over the points, divided by the same sum over covered ground: neither the field's edge nor a gap looks
    poor for not having been searched, and what nobody covered is unknown, not zero. Points outside the blocks
    count by their distance like all others. Raises GeoError without a positive radius.
    """
    middles = blocks.middles
    share = blocks.share.ravel()
    known = share > 0
    result = np.full(share.shape, math.nan)
    if known.any():
        near = intensity(points, middles[known], radius_m, kernel)
        result[known] = near / _covered_mass(blocks, radius_m, kernel)[known]
    return result.reshape(blocks.share.shape)


def _covered_mass(blocks: Blocks, radius_m: float, kernel: Kernel) -> Floats:
    """The kernel's mass over covered ground round each block, about 1 where all is covered."""
    share = blocks.share.ravel()
    middles = blocks.middles
    kept = share > 0
    weights, places = share[kept] * blocks.side_m**2 / radius_m**2, middles[kept]
    found = np.zeros(len(middles))
    for start in range(0, len(middles), _ROWS):
        part = middles[start : start + _ROWS]
        apart = np.hypot(part[:, None, 0] - places[None, :, 0], part[:, None, 1] - places[None, :, 1])
        found[start : start + _ROWS] = kernel(apart / radius_m) @ weights
    return found
