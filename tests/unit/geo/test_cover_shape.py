"""The outline for the map: light, near enough, and never of nothing."""

import json

import numpy as np
import shapely

from geo.cover_shape import rough_outline
from geo.coverage import draw, union
from geo.grid import cell_for, grid_over, site_mask
from geo.measure import area_m2
from tests.unit.geo.walks import LOCAL, field, serpentine, walked


def test_a_covered_block_keeps_its_area() -> None:
    ground = shapely.MultiPolygon([shapely.box(0, 0, 200, 100)])
    grid = grid_over(ground, LOCAL)
    covered = site_mask(grid, shapely.MultiPolygon([shapely.box(20, 20, 120, 80)]))
    assert abs(area_m2(rough_outline(grid, covered)) / 6000 - 1) < 0.02


def test_a_lane_a_swath_wide_does_not_vanish() -> None:
    path = serpentine(10, 200, 10)
    grid = grid_over(field(path), LOCAL)
    shape = LOCAL.to_metres(rough_outline(grid, union(grid, [draw(grid, [path], 0.75)])))
    assert (
        shape.buffer(1).intersection(shapely.LineString(path)).length > 0.9 * shapely.LineString(path).length
    )


def test_a_noisy_walk_stays_light() -> None:
    path = walked(serpentine(60, 200, 2), points=7000, sigma_m=2)
    grid = grid_over(field(path), LOCAL)
    shape = rough_outline(grid, union(grid, [draw(grid, [path], 0.75)]))
    assert len(json.dumps(shapely.geometry.mapping(shape))) < 60_000


def test_nothing_covered_is_an_empty_shape() -> None:
    grid = grid_over(shapely.MultiPolygon([shapely.box(0, 0, 50, 50)]), LOCAL)
    assert rough_outline(grid, np.zeros((grid.rows, grid.cols), dtype=bool)).is_empty


def test_a_site_keeps_its_cell_when_it_grows() -> None:
    large = shapely.MultiPolygon([shapely.box(0, 0, 700, 700)])
    assert grid_over(large, LOCAL).cell_m == cell_for(large.area) == 1
    assert grid_over(large, LOCAL, cell_m=0.5).cell_m == 0.5
