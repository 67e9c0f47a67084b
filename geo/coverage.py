"""Ground covered: capsules round the pieces of a track, tested cell by cell; unions, passes and the three
numbers.

One drawn cell means little: with receivers good to 1 to 3 m, one thorough pass is drawn about a fifth too
low. Show the drawn share beside effort and expected detection.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geo.grid import PAD, Bits, CoverageError, Floats, Grid, Raster
from tongue import figure
from tongue import say as _

MAX_HALF_SWATH_M = 2.0


def draw(grid: Grid, parts: Iterable[Floats], half_swath_m: float) -> Raster:
    """Cells within `half_swath_m` of the walked parts, each (n, 2) metres on the grid's local system.

    Raises CoverageError for a half swath outside 0.2 to 2 m. Ground outside the window is left out.
    Time is O(pieces × (2 half swath / cell + 3)²), memory one byte a cell and a few numbers a piece.
    """
    if not 0.2 <= half_swath_m <= MAX_HALF_SWATH_M:
        what = _("Half a swath of %(half_swath_m)s m") % {"half_swath_m": figure(f"{half_swath_m:g}")}
        raise CoverageError(what, value=half_swath_m, remedy=_("give 0.2 to 2 m; 0.75 m is common"))
    width, height = grid.cols + 2 * PAD, grid.rows + 2 * PAD
    hit = np.zeros(width * height, dtype=bool)
    pieces = _pieces(grid, parts)
    reach = half_swath_m / grid.cell_m
    if len(pieces):
        _stamp(grid, pieces, reach, hit)
    return _crop(grid, hit.reshape(height, width)[PAD : PAD + grid.rows, PAD : PAD + grid.cols])


def _pieces(grid: Grid, parts: Iterable[Floats]) -> Floats:
    """Pieces of at most one cell as (n, 4): middle x, y from the padded corner and half vector, in cells."""
    starts, steps = [], []
    for part in parts:
        cells = np.asarray(part, dtype=float) / grid.cell_m - (grid.col0 - PAD, grid.row0 - PAD)
        starts.append(cells[:-1] if len(cells) > 1 else cells)
        steps.append(np.diff(cells, axis=0) if len(cells) > 1 else np.zeros_like(cells))
    if not starts:
        return np.empty((0, 4))
    start, step = np.concatenate(starts), np.concatenate(steps)
    count = np.maximum(1, np.ceil(np.hypot(step[:, 0], step[:, 1]))).astype(np.int64)
    line = np.repeat(np.arange(len(count)), count)
    place = (np.arange(len(line)) - np.repeat(np.cumsum(count) - count, count) + 0.5) / count[line]
    half = step / (2 * count)[:, None]
    middle = start[line] + step[line] * place[:, None]
    seen = (middle >= PAD // 2) & (middle < np.array([grid.cols, grid.rows]) + PAD + PAD // 2)
    return np.column_stack([middle, half[line]])[seen.all(axis=1)]


def _stamp(grid: Grid, pieces: Floats, reach: float, hit: Bits) -> None:
    """Set every cell whose test point is within `reach` cells of a piece."""
    width = grid.cols + 2 * PAD
    col, row = np.floor(pieces[:, 0]).astype(np.int64), np.floor(pieces[:, 1]).astype(np.int64)
    flat = row * width + col
    x, y = (pieces[:, 0] - col).astype(np.float32), (pieces[:, 1] - row).astype(np.float32)
    half_x, half_y = pieces[:, 2].astype(np.float32), pieces[:, 3].astype(np.float32)
    length2 = half_x**2 + half_y**2
    scale = np.float32(1) / np.where(length2 > 0, length2, np.float32(1))
    jitter_x, jitter_y = (axis.ravel() for axis in grid.jitter)
    for dx, dy in _window(reach):
        cell = flat + (dy * width + dx)
        to_x = jitter_x[cell] * np.float32(1 / 256) + (np.float32(dx + 0.5 / 256) - x)
        to_y = jitter_y[cell] * np.float32(1 / 256) + (np.float32(dy + 0.5 / 256) - y)
        along = np.clip((to_x * half_x + to_y * half_y) * scale, -1, 1)
        far = (to_x - along * half_x) ** 2 + (to_y - along * half_y) ** 2
        hit[cell[far <= reach * reach]] = True


def _window(reach: float) -> list[tuple[int, int]]:
    """Cell offsets that can hold a test point within `reach` of a piece whose middle lies in cell (0, 0)."""
    size = math.ceil(reach + 1)  # at most PAD // 2 - 1
    steps = range(-size, size + 1)
    return [
        (dx, dy)
        for dx in steps
        for dy in steps
        if math.hypot(max(abs(dx) - 1, 0), max(abs(dy) - 1, 0)) - 0.5 <= reach
    ]


def _crop(grid: Grid, bits: Bits) -> Raster:
    rows, cols = np.flatnonzero(bits.any(axis=1)), np.flatnonzero(bits.any(axis=0))
    if not len(rows):
        return Raster(grid.cell_m, grid.col0, grid.row0, np.zeros((0, 0), dtype=bool))
    kept = bits[rows[0] : rows[-1] + 1, cols[0] : cols[-1] + 1].copy()
    return Raster(grid.cell_m, grid.col0 + int(cols[0]), grid.row0 + int(rows[0]), kept)


def add(grid: Grid, counts: NDArray[Any], raster: Raster) -> None:
    """Add one track's cells to `counts` (rows, cols) in place: a count for numbers, OR for booleans.

    Cells outside the window are left out. Raises CoverageError for another cell size.
    """
    if raster.cell_m != grid.cell_m:
        what = _("This track was drawn in cells of %(cell_m)s m, the site in %(cell_m2)s m") % {
            "cell_m": figure(f"{raster.cell_m:g}"),
            "cell_m2": figure(f"{grid.cell_m:g}"),
        }
        raise CoverageError(what, value=raster.cell_m, remedy=_("draw the track again"))
    rows, cols = raster.bits.shape
    row, col = raster.row0 - grid.row0, raster.col0 - grid.col0
    r0, c0 = max(row, 0), max(col, 0)
    r1, c1 = min(row + rows, grid.rows), min(col + cols, grid.cols)
    if r0 < r1 and c0 < c1:
        target = counts[r0:r1, c0:c1]
        np.add(target, raster.bits[r0 - row : r1 - row, c0 - col : c1 - col], out=target)


def union(grid: Grid, rasters: Iterable[Raster]) -> Bits:
    """Cells any of the tracks covers."""
    cells = np.zeros((grid.rows, grid.cols), dtype=bool)
    for raster in rasters:
        add(grid, cells, raster)
    return cells


def passes(grid: Grid, rasters: Iterable[Raster]) -> NDArray[np.uint16]:
    """How many of the tracks cover each cell."""
    counts = np.zeros((grid.rows, grid.cols), dtype=np.uint16)
    for raster in rasters:
        add(grid, counts, raster)
    return counts


@dataclass(frozen=True)
class Cover:
    """Three numbers to show together:

    the drawn share, the effort C, and the detection to expect (two bounds).
    """

    drawn_share: float
    drawn_m2: float
    effort: float
    random_share: float
    perfect_share: float


def cover(grid: Grid, covered: Bits, site: Bits, *, lengths_m: Sequence[float], swath_m: float) -> Cover:
    """What was covered of `site`: drawn share, effort C = swath × distance / area, 1 - e^-C and min(1, C).

    `lengths_m` are smoothed distances without stops (`geo.track`). Raises CoverageError when nothing is
    searchable. Source: random search, Koopman 1946; effort as in land search, Cooper, Frost and Robe 2003
    (from memory).
    """
    site_m2 = grid.area_m2(site)
    if not site_m2:
        what = _("No cell of this site is searchable")
        raise CoverageError(what, value=0, remedy=_("check the boundary and its no-go areas"))
    drawn_m2 = grid.area_m2(covered & site)
    effort = swath_m * sum(lengths_m) / site_m2
    return Cover(drawn_m2 / site_m2, drawn_m2, effort, 1 - math.exp(-effort), min(1.0, effort))
