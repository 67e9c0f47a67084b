"""Where to go next: the larger stretches of a site that nobody has covered.

Single cells mean little (receivers are good to 1 to 3 m), so cells are judged in blocks of about 5 m.
"""

from collections import deque
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geo.grid import Bits, Grid

BLOCK_M = 5.0
OPEN_SHARE = 0.5


@dataclass(frozen=True)
class Gap:
    """One connected stretch:

    a lon/lat place inside it, its lon/lat outline, its area on site and what is open of it.
    """

    lon: float
    lat: float
    area_m2: float
    open_m2: float
    outline: Any


def find_gaps(
    grid: Grid, covered: Bits, site: Bits, *, smallest_m2: float = 100.0, limit: int = 50
) -> list[Gap]:
    """Gaps of at least `smallest_m2` of uncovered ground, largest first, at most `limit`.

    A block of 5 m joins a gap when at least half of its searchable ground is uncovered; blocks join along
    edges.
    """
    size = max(1, round(BLOCK_M / grid.cell_m))
    ground, bare = _blocks(site, size), _blocks(site & ~covered, size)
    open_blocks = (ground > 0) & (bare >= OPEN_SHARE * ground)
    cell_m2 = grid.cell_m**2
    found = []
    for blocks in _connected(open_blocks):
        rows, cols = blocks.T
        bare_m2 = float(bare[rows, cols].sum()) * cell_m2
        if bare_m2 >= smallest_m2:
            found.append((bare_m2, float(ground[rows, cols].sum()) * cell_m2, blocks))
    found.sort(key=lambda gap: -gap[0])
    return [_gap(grid, size, open_m2, area_m2, blocks) for open_m2, area_m2, blocks in found[:limit]]


def _blocks(cells: Bits, size: int) -> NDArray[np.int64]:
    """Set cells per block of size × size, the last ones padded."""
    rows, cols = cells.shape
    padded = np.zeros((-(-rows // size) * size, -(-cols // size) * size), dtype=np.uint8)
    padded[:rows, :cols] = cells
    tiles = padded.reshape(len(padded) // size, size, -1, size)
    counts: NDArray[np.int64] = tiles.sum(axis=(1, 3), dtype=np.int64)
    return counts


def _connected(blocks: Bits) -> list[NDArray[np.int64]]:
    """Groups of set blocks that touch along edges, each (n, 2) of row and column."""
    left = set(map(tuple, np.argwhere(blocks).tolist()))
    groups = []
    while left:
        queue = deque([left.pop()])
        group = []
        while queue:
            row, col = queue.popleft()
            group.append((row, col))
            for near in ((row - 1, col), (row + 1, col), (row, col - 1), (row, col + 1)):
                if near in left:
                    left.remove(near)
                    queue.append(near)
        groups.append(np.array(group))
    return groups


def _gap(grid: Grid, size: int, open_m2: float, area_m2: float, blocks: NDArray[np.int64]) -> Gap:
    side = size * grid.cell_m
    south = grid.row0 * grid.cell_m + blocks[:, 0] * side
    west = grid.col0 * grid.cell_m + blocks[:, 1] * side
    shape = shapely.union_all(shapely.box(west, south, west + side, south + side))
    middle = shape.representative_point()
    lon, lat = grid.local.inverse(middle.x, middle.y)
    return Gap(float(lon), float(lat), area_m2, open_m2, grid.local.to_degrees(shape))
