"""How often an outline crosses itself, guessed before GEOS is asked to mend it: its memory grows with the crossings,
and a scribble of n points has about n²/9 of them.
"""

import numpy as np
import shapely
from numpy.typing import NDArray

MOST_CROSSINGS = 10_000
"""A boundary walked with a poor receiver has a few hundred."""
MOST_SEGMENTS = 250_000
_SAMPLE = 256


def is_tangled(shape: shapely.Geometry) -> bool:
    """True if mending the shape would cost too much to try: too many crossings by a sample of its edges, or more
    edges than are worth looking at.
    """
    starts, ends = _segments(shape)
    return len(starts) > MOST_SEGMENTS or _crossings(starts, ends) > MOST_CROSSINGS


def _segments(shape: shapely.Geometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Start and end of every edge, (n, 2) each; no edge runs from one ring to the next."""
    lines = shapely.get_parts(shape)
    rings = shapely.get_rings(lines) if shapely.get_dimensions(shape) == 2 else lines
    coordinates, ring = shapely.get_coordinates(rings, return_index=True)
    within = ring[1:] == ring[:-1]
    return coordinates[:-1][within], coordinates[1:][within]


def _crossings(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> float:
    """Crossings of the whole, from those of some edges, drawn at random, with all others. Touching is no crossing."""
    count = len(starts)
    if count < 2:
        return 0.0
    chosen = np.random.default_rng(0).permutation(count)[:_SAMPLE]
    hits = sum(_crossed_by(starts[i], ends[i], starts, ends) for i in chosen)
    return hits / len(chosen) * count / 2


def _crossed_by(
    a: NDArray[np.float64], b: NDArray[np.float64], starts: NDArray[np.float64], ends: NDArray[np.float64]
) -> int:
    """How many edges have their ends on either side of a-b while a and b are on either side of them."""
    along, across = b - a, ends - starts
    start_side, end_side = _turn(along, starts - a), _turn(along, ends - a)
    a_side, b_side = _turn(across, a - starts), _turn(across, b - starts)
    return int(np.count_nonzero((start_side * end_side < 0) & (a_side * b_side < 0)))


def _turn(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """The sign tells on which side `other` lies of `one`."""
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])
