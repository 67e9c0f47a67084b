"""A site's fixed grid of cells with one random test point in each, and the cells that lie on the ground.

The point in a cell is hashed from the cell's absolute index, so masks of different tracks join exactly and
lanes cannot fall in step with the cells: testing at centres errs by up to 6 % of an area, this by about
0.15 % (rms).
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from geo.errors import GeoError
from geo.lane_cut import edges_of
from geo.local import Local
from tongue import say as _

Floats = NDArray[np.float64]
Bits = NDArray[np.bool_]
Bytes = NDArray[np.uint8]

FINE_CELL_M = 0.5
COARSE_CELL_M = 1.0
COARSE_ABOVE_M2 = 400_000.0
MAX_CELLS = 4_000_000
PAD = 12  # cells round the window, so that no capsule needs a bounds test


class CoverageError(GeoError):
    """Ground, a swath or stored bytes from which no coverage can be drawn."""


@dataclass(frozen=True)
class Grid:
    """A window of square cells on a site's metre grid; cell (0, 0) has its south-west corner at the origin
    of `local`.

    `col0`, `row0` are the absolute indices of the window's south-west cell. Keep `local` and `cell_m` with
    the site.
    """

    local: Local
    cell_m: float
    col0: int
    row0: int
    cols: int
    rows: int

    @cached_property
    def jitter(self) -> tuple[Bytes, Bytes]:
        """Each cell's test point, x and y in 256ths of the cell, for the window widened by PAD:

        (rows, cols).
        """
        cols = np.arange(self.col0 - PAD, self.col0 + self.cols + PAD, dtype=np.int64).astype(np.uint32)
        rows = np.arange(self.row0 - PAD, self.row0 + self.rows + PAD, dtype=np.int64).astype(np.uint32)
        mixed = (cols * np.uint32(0x9E3779B1))[None, :] ^ (rows * np.uint32(0x85EBCA77))[:, None]
        for shift, factor in ((16, 0x7FEB352D), (15, 0x846CA68B), (16, 1)):
            mixed ^= mixed >> np.uint32(shift)
            mixed *= np.uint32(factor)
        return (mixed & np.uint32(255)).astype(np.uint8), (mixed >> np.uint32(8) & np.uint32(255)).astype(
            np.uint8
        )

    def area_m2(self, cells: Bits) -> float:
        """The area of the set cells."""
        return float(np.count_nonzero(cells)) * self.cell_m**2

    def outline(self) -> list[tuple[float, float]]:
        """The window's corners in lon/lat: south-west, south-east, north-east, north-west."""
        x0, y0 = self.col0 * self.cell_m, self.row0 * self.cell_m
        x1, y1 = x0 + self.cols * self.cell_m, y0 + self.rows * self.cell_m
        lon, lat = self.local.inverse([x0, x1, x1, x0], [y0, y0, y1, y1])
        return list(zip(lon.tolist(), lat.tolist(), strict=True))


@dataclass(frozen=True)
class Raster:
    """Covered cells of one track:

    `bits` (rows, cols) with its absolute south-west cell, cropped to what is set.
    """

    cell_m: float
    col0: int
    row0: int
    bits: Bits


def cell_for(area_m2: float) -> float:
    """The side of a cell for ground of this size, in m: 0.5, and 1 above 40 ha."""
    return FINE_CELL_M if area_m2 <= COARSE_ABOVE_M2 else COARSE_CELL_M


def grid_over(ground: Any, local: Local, *, cell_m: float | None = None) -> Grid:
    """The grid for `ground` (metres on `local`) in cells of `cell_m`, or as `cell_for` says.

    Raises CoverageError where that takes more than 4 million cells.
    """
    cell_m = cell_for(ground.area) if cell_m is None else cell_m
    west, south, east, north = (edge / cell_m for edge in ground.bounds)
    col0, row0 = math.floor(west), math.floor(south)
    grid = Grid(local, cell_m, col0, row0, math.ceil(east) - col0 or 1, math.ceil(north) - row0 or 1)
    if grid.cols * grid.rows > MAX_CELLS:
        span = _("%(cols)s by %(rows)s m") % {
            "cols": f"{grid.cols * cell_m:.0f}",
            "rows": f"{grid.rows * cell_m:.0f}",
        }
        what = _("Ground of %(area)s ha spans %(span)s") % {
            "area": f"{ground.area / 10000.0:.0f}",
            "span": span,
        }
        raise CoverageError(what, value=ground.area, remedy=_("split the site into fields of at most 200 ha"))
    return grid


def site_mask(grid: Grid, ground: Any) -> Bits:
    """Cells whose test point lies on `ground` (metres), shape (rows, cols).

    Cells no edge touches need no test.
    """
    edges = edges_of(ground)
    inside = _fill(grid, edges)
    row, col = np.nonzero(_near_edges(grid, edges))
    jx, jy = (axis[PAD + row, PAD + col] for axis in grid.jitter)
    x = (grid.col0 + col + (jx + 0.5) / 256) * grid.cell_m
    y = (grid.row0 + row + (jy + 0.5) / 256) * grid.cell_m
    shapely.prepare(ground)
    inside[row, col] = shapely.contains_xy(ground, x, y)
    return inside


def _fill(grid: Grid, edges: Floats) -> Bits:
    """Cells whose centre is inside, by the even-odd rule along each row."""
    x = edges[:, 0::2] / grid.cell_m - grid.col0 - 0.5
    y = edges[:, 1::2] / grid.cell_m - grid.row0 - 0.5
    first = np.floor(y.min(axis=1)).astype(np.int64) + 1
    hits = np.floor(y.max(axis=1)).astype(np.int64) - first + 1
    edge = np.repeat(np.arange(len(edges)), hits)
    row = first[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(hits) - hits, hits)
    along = x[edge, 0] + (row - y[edge, 0]) / (y[edge, 1] - y[edge, 0]) * (x[edge, 1] - x[edge, 0])
    col = np.clip(np.ceil(along).astype(np.int64), 0, grid.cols)
    seen = (row >= 0) & (row < grid.rows)
    turns = np.zeros((grid.rows, grid.cols + 1), dtype=np.uint8)
    np.bitwise_xor.at(turns, (row[seen], col[seen]), np.uint8(1))
    return np.bitwise_xor.accumulate(turns, axis=1)[:, :-1].astype(bool)


def _near_edges(grid: Grid, edges: Floats) -> Bits:
    """Cells an edge may touch, and their neighbours."""
    start, stop = edges[:, :2], edges[:, 2:]
    count = np.maximum(1, np.ceil(np.hypot(*(stop - start).T) / grid.cell_m).astype(np.int64))
    edge = np.repeat(np.arange(len(edges)), count)
    part = (np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + 0.5) / count[edge]
    place = start[edge] + (stop - start)[edge] * part[:, None]
    cell = np.floor(place / grid.cell_m).astype(np.int64) - (grid.col0, grid.row0) + 1
    near = np.zeros((grid.rows + 2, grid.cols + 2), dtype=bool)
    near[np.clip(cell[:, 1], 0, grid.rows + 1), np.clip(cell[:, 0], 0, grid.cols + 1)] = True
    for axis in (0, 1):
        grown = near.copy()
        grown |= np.roll(near, 1, axis)
        grown |= np.roll(near, -1, axis)
        near = grown
    return near[1:-1, 1:-1]
