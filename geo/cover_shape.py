"""A light outline of covered ground for maps: exact cells make megabytes, blocks of a metre make a page."""

from typing import Any

import numpy as np
import shapely

from geo.coverage_store import outline
from geo.grid import Bits, Grid

BLOCK_M = 1.0


def rough_outline(grid: Grid, cells: Bits, *, block_m: float = BLOCK_M) -> Any:
    """The set cells as a lon/lat MultiPolygon to look at, to 6 decimals (0.1 m).

    A block of about `block_m` counts when half of its cells are set; specks and pinholes of up to four blocks are
    left out and steps are smoothed. For areas and exports ask `Grid.area_m2` and `geo.coverage_store.outline`.
    """
    coarse, blocks = _coarse(grid, cells, max(1, round(block_m / grid.cell_m)))
    metres = grid.local.to_metres(outline(coarse, blocks)).simplify(0.75 * coarse.cell_m)
    least_m2 = 4 * coarse.cell_m**2
    whole = [_filled(part, least_m2) for part in shapely.get_parts(metres) if part.area > least_m2]
    polygons = [part for part in whole if part.geom_type == "Polygon"]
    return shapely.set_precision(grid.local.to_degrees(shapely.MultiPolygon(polygons)), 1e-6)


def _filled(part: Any, least_m2: float) -> Any:
    """The polygon without its pinholes."""
    holes = [ring for ring in part.interiors if shapely.Polygon(ring).area > least_m2]
    return shapely.Polygon(part.exterior, holes)


def _coarse(grid: Grid, cells: Bits, size: int) -> tuple[Grid, Bits]:
    """The grid in blocks of size × size cells that begin at absolute multiples, and the blocks half full."""
    top, left = grid.row0 % size, grid.col0 % size
    rows, cols = -(-(grid.rows + top) // size), -(-(grid.cols + left) // size)
    padded = np.zeros((rows * size, cols * size), dtype=bool)
    padded[top : top + grid.rows, left : left + grid.cols] = cells
    counts = padded.reshape(rows, size, cols, size).sum(axis=(1, 3))
    place = (grid.col0 - left) // size, (grid.row0 - top) // size
    return Grid(grid.local, grid.cell_m * size, *place, cols, rows), counts * 2 >= size * size
