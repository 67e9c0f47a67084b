"""Outlines of cells against shapely's union of one square a cell, the independent truth."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from geo.rings import cell_polygons


def joined(cells):
    row, col = np.nonzero(cells)
    return shapely.union_all(shapely.box(col, row, col + 1, row + 1))


@settings(max_examples=200, deadline=None)
@given(arrays(bool, st.tuples(st.integers(1, 9), st.integers(1, 9))))
def test_any_cells_give_valid_polygons_of_the_same_ground(cells: np.ndarray) -> None:
    made = shapely.MultiPolygon(cell_polygons(cells))
    assert made.is_valid
    assert made.symmetric_difference(joined(cells)).area < 1e-9


@pytest.mark.parametrize("density", [0.05, 0.4, 0.6, 0.95])
def test_a_large_scatter_of_cells(density: float) -> None:
    cells = np.random.default_rng(7).random((60, 80)) < density
    made = shapely.MultiPolygon(cell_polygons(cells))
    assert made.is_valid
    assert made.area == cells.sum()
    assert made.symmetric_difference(joined(cells)).area < 1e-6


def test_an_island_in_a_hole_in_a_block() -> None:
    cells = np.ones((9, 9), dtype=bool)
    cells[2:7, 2:7] = False
    cells[4, 4] = True
    assert sorted(part.area for part in cell_polygons(cells)) == [1, 56]


def test_no_cells_no_polygons() -> None:
    assert cell_polygons(np.zeros((3, 3), dtype=bool)) == []
