"""Ground covered: exact areas, independent unions, masks that join exactly, storage, pictures and gaps."""

import io
import time
import tracemalloc

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from geo.coverage import add, cover, draw, passes, union
from geo.coverage_store import PALETTE, VERSION, outline, pack, picture, unpack
from geo.gaps import find_gaps
from geo.grid import CoverageError, Grid, Raster, grid_over, site_mask
from geo.local import Local
from tests.unit.geo.walks import LOCAL, field, serpentine, swept_m2, walked

HOLED = shapely.MultiPolygon(
    [
        shapely.Polygon([(0, 0), (300, 10), (320, 120), (130, 125), (135, 400), (3, 390)]).difference(
            shapely.Point(60, 250).buffer(15)
        )
    ]
)


@pytest.mark.parametrize("spacing_m", [1.6, 2.0])
@pytest.mark.parametrize("turn_deg", [0, 17, 45])
def test_serpentine_area_is_exact_to_a_fifth_of_a_percent(spacing_m, turn_deg):
    """Against the exact area of a serpentine (elementary geometry, see `swept_m2`)."""
    path = serpentine(20, 400, spacing_m, turn_deg)
    grid = grid_over(field(path), LOCAL)
    drawn_m2 = grid.area_m2(draw(grid, [path], 0.8).bits)
    assert drawn_m2 == pytest.approx(swept_m2(20, 400, spacing_m, 1.6), rel=2e-3)


def test_the_exact_formula_agrees_with_a_vector_buffer():
    exact = shapely.LineString(serpentine(20, 400, 2.0)).buffer(0.8, quad_segs=64).area
    assert swept_m2(20, 400, 2.0, 1.6) == pytest.approx(exact, rel=1e-5)


def test_area_errors_centre_on_nothing():
    """Over forty layouts the mean error is far below that of one: the test points favour no direction."""
    rng = np.random.default_rng(3)
    errors = []
    for spacing_m, turn_deg in zip(rng.uniform(1.6, 5, 40), rng.uniform(0, 180, 40), strict=True):
        path = serpentine(8, 200, spacing_m, turn_deg)
        grid = grid_over(field(path), LOCAL)
        errors.append(grid.area_m2(draw(grid, [path], 0.8).bits) / swept_m2(8, 200, spacing_m, 1.6) - 1)
    assert abs(np.mean(errors)) < 0.0015
    assert np.sqrt(np.mean(np.square(errors))) < 0.006


@pytest.mark.parametrize("sigma_m", [0.5, 1, 2, 3])
def test_noisy_walks_agree_with_an_independent_union(sigma_m):
    """shapely: buffers of single segments, united; within 1 %."""
    path = walked(serpentine(6, 150), points=2000, sigma_m=sigma_m, white_m=0.1, stops=5)
    grid = grid_over(field(path), LOCAL)
    segments = shapely.linestrings(np.stack([path[:-1], path[1:]], axis=1))
    theirs = shapely.union_all(shapely.buffer(segments, 0.75))
    assert grid.area_m2(draw(grid, [path], 0.75).bits) == pytest.approx(theirs.area, rel=0.01)


def test_share_of_a_site_agrees_with_vector_geometry():
    path = walked(serpentine(30, 200, 4.0), points=3000, sigma_m=1, white_m=0.1)
    grid = grid_over(HOLED, LOCAL)
    site = site_mask(grid, HOLED)
    drawn = cover(grid, union(grid, [draw(grid, [path], 0.75)]), site, lengths_m=[6000], swath_m=1.5)
    theirs = shapely.LineString(path).buffer(0.75).intersection(HOLED).area / HOLED.area
    assert drawn.drawn_share == pytest.approx(theirs, rel=0.01)
    assert drawn.effort == pytest.approx(9000 / HOLED.area, rel=1e-3)
    assert drawn.random_share < drawn.perfect_share


def test_effort_of_one_expects_sixty_three_percent():
    """1 - 1/e = 63.2 % (Koopman 1946), and the whole with perfect lanes."""
    grid = Grid(LOCAL, 1.0, 0, 0, 100, 100)
    site = np.ones((100, 100), dtype=bool)
    drawn = cover(grid, ~site, site, lengths_m=[5000], swath_m=2.0)
    assert (drawn.drawn_share, drawn.effort, drawn.perfect_share) == (0, 1, 1)
    assert drawn.random_share == pytest.approx(0.632, abs=5e-4)
    with pytest.raises(CoverageError, match="No cell of this site is searchable"):
        cover(grid, site, ~site, lengths_m=[], swath_m=2.0)


def test_site_mask_is_what_a_point_test_of_every_cell_gives():
    grid = grid_over(HOLED, LOCAL)
    jitter_x, jitter_y = (axis[12:-12, 12:-12] for axis in grid.jitter)
    x = (grid.col0 + np.arange(grid.cols)[None, :] + (jitter_x + 0.5) / 256) * grid.cell_m
    y = (grid.row0 + np.arange(grid.rows)[:, None] + (jitter_y + 0.5) / 256) * grid.cell_m
    assert (site_mask(grid, HOLED) == shapely.contains_xy(HOLED, x, y)).all()
    assert grid.area_m2(site_mask(grid, HOLED)) == pytest.approx(HOLED.area, rel=1e-3)


def test_masks_join_exactly_whatever_window_they_were_drawn_in():
    path = walked(serpentine(5, 80, 3.0), points=900, sigma_m=1)
    whole = grid_over(field(path), LOCAL)
    grown = Grid(LOCAL, whole.cell_m, whole.col0 - 40, whole.row0 - 7, whole.cols + 90, whole.rows + 30)
    one = draw(whole, [path], 0.75)
    parts = [draw(grown, [path[:400]], 0.75), draw(grown, [path[399:]], 0.75)]
    assert (union(whole, parts) == union(whole, [one])).all()
    assert passes(whole, [one, *parts]).max() == 3


def test_ground_outside_the_window_is_left_out():
    path = serpentine(5, 80, 3.0)
    grid = grid_over(shapely.MultiPolygon([shapely.box(20, 2, 40, 8)]), LOCAL)
    raster = draw(grid, [path, path + 1e7], 0.75)
    expected = shapely.LineString(path).buffer(0.75).intersection(shapely.box(20, 2, 40, 8)).area
    assert grid.area_m2(raster.bits) == pytest.approx(expected, rel=0.05)
    assert draw(grid, [], 0.75).bits.size == 0
    assert not union(grid, [draw(grid, [path + 1e7], 0.75)]).any()


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10_000), half=st.floats(0.2, 2.0), cell=st.sampled_from([0.5, 1.0]))
def test_every_test_point_is_judged_by_its_distance(seed, half, cell):
    """A cell is drawn exactly when its test point is within half a swath: shapely measures the distance."""
    path = np.random.default_rng(seed).uniform(-3, 8, (4, 2))
    grid = Grid(LOCAL, cell, 0, 0, 11, 11)
    drawn = union(grid, [draw(grid, [path], half)])
    jitter_x, jitter_y = (axis[12:-12, 12:-12] for axis in grid.jitter)
    points = shapely.points(
        (np.arange(11)[None, :] + (jitter_x + 0.5) / 256) * cell,
        (np.arange(11)[:, None] + (jitter_y + 0.5) / 256) * cell,
    )
    away = shapely.distance(points, shapely.LineString(path))
    clear = np.abs(away - half) > 1e-4
    assert (drawn == (away <= half))[clear].all()


@pytest.mark.parametrize("half", [0, -1, 0.1, 3, np.nan])
def test_impossible_swath_is_named(half):
    grid = Grid(LOCAL, 0.5, 0, 0, 10, 10)
    with pytest.raises(CoverageError, match=f"Half a swath of {half:g} m; give 0.2 to 2 m"):
        draw(grid, [], half)


def test_cell_size_follows_the_ground_and_estates_are_refused():
    assert grid_over(shapely.box(0, 0, 600, 600), LOCAL).cell_m == 0.5
    assert grid_over(shapely.box(0, 0, 700, 700), LOCAL).cell_m == 1.0
    with pytest.raises(CoverageError, match="Ground of 500 ha spans 2000 by 2500 m; split the site"):
        grid_over(shapely.box(0, 0, 2000, 2500), LOCAL)


def test_packed_masks_come_back_and_others_are_refused():
    path = serpentine(5, 80, 3.0)
    grid = grid_over(field(path), LOCAL)
    raster = draw(grid, [path], 0.75)
    data = pack(raster)
    back = unpack(data)
    assert (back.cell_m, back.col0, back.row0) == (raster.cell_m, raster.col0, raster.row0)
    assert (back.bits == raster.bits).all()
    assert len(data) < raster.bits.size / 8
    empty = Raster(0.5, 0, 0, np.zeros((0, 0), dtype=bool))
    assert unpack(pack(empty)).bits.shape == (0, 0)
    for broken, said in [
        (b"", "has version none"),
        (bytes([VERSION + 1]) + data[1:], f"has version {VERSION + 1}"),
        (data[:40], "broken|cut short"),
        (data[:19] + b"rubbish", "broken"),
        (data[:11] + b"\xff\xff\xff\x7f" + data[15:], "claims"),
    ]:
        with pytest.raises(CoverageError, match=said):
            unpack(broken)
    with pytest.raises(CoverageError, match=r"cells of 0\.5 m, the site in 1 m; draw the track again"):
        add(Grid(LOCAL, 1.0, 0, 0, 5, 5), np.zeros((5, 5)), raster)


def test_picture_is_a_png_that_shows_gaps_by_hatching():
    """Decoded by Pillow, which shares no code with the writer."""
    site = np.zeros((40, 60), dtype=bool)
    site[5:35, 5:55] = True
    counts = np.zeros((40, 60), dtype=np.uint16)
    counts[5:20, 5:30] = 1
    counts[5:10, 5:10] = 900
    image = Image.open(io.BytesIO(picture(counts, site)))
    assert image.size == (60, 40)
    pixels = np.asarray(image.convert("RGBA"))[::-1]
    assert tuple(pixels[0, 0]) == PALETTE[0]
    assert tuple(pixels[15, 15]) == PALETTE[3]
    assert tuple(pixels[6, 6]) == PALETTE[-1]
    assert {tuple(p) for p in pixels[22:34, 32:54].reshape(-1, 4)} == {PALETTE[1], PALETTE[2]}


def test_window_corners_and_outline_stand_on_the_map():
    grid = Grid(LOCAL, 0.5, -20, -10, 100, 40)
    cells = np.zeros((40, 100), dtype=bool)
    cells[10:20, 20:60] = True
    x, y = LOCAL.forward(*np.array(grid.outline()).T)
    assert np.round(x, 4).tolist() == [-10, 40, 40, -10]
    assert np.round(y, 4).tolist() == [-5, -5, 15, 15]
    shape = LOCAL.to_metres(outline(grid, cells))
    assert shape.bounds == pytest.approx((0, 0, 20, 5), abs=1e-4)
    assert shape.area == pytest.approx(100, rel=1e-6)


def test_gaps_are_the_stretches_nobody_covered_largest_first():
    ground = shapely.MultiPolygon([shapely.box(0, 0, 200, 100)])
    grid = grid_over(ground, LOCAL)
    site = site_mask(grid, ground)
    left, right = shapely.box(20, 20, 60, 60), shapely.box(120, 10, 190, 90)
    covered = site & ~site_mask(grid, shapely.union(left, right))
    gaps = find_gaps(grid, covered, site)
    assert [round(gap.open_m2, -2) for gap in gaps] == [5600, 1600]
    for gap, shape in zip(gaps, (right, left), strict=True):
        x, y = LOCAL.forward(gap.lon, gap.lat)
        assert shape.contains(shapely.Point(float(x), float(y)))
        assert LOCAL.to_metres(gap.outline).symmetric_difference(shape).area < 0.1 * shape.area
    assert find_gaps(grid, site, site) == []
    assert len(find_gaps(grid, covered, site, smallest_m2=2000)) == 1
    assert len(find_gaps(grid, covered, site, limit=1)) == 1


def test_noisy_but_thorough_ground_has_no_gap():
    path = walked(serpentine(25, 60, 1.5), points=4000, sigma_m=0.7, white_m=0.1)
    ground = shapely.MultiPolygon([shapely.box(5, 3, 55, 33)])
    grid = grid_over(ground, LOCAL)
    gaps = find_gaps(grid, union(grid, [draw(grid, [path], 0.75)]), site_mask(grid, ground))
    assert sum(gap.open_m2 for gap in gaps) < 0.15 * ground.area


def test_a_long_noisy_track_draws_at_once_in_little_memory():
    path = walked(serpentine(), sigma_m=2, white_m=0.15, stops=40)
    grid = grid_over(field(path), LOCAL)
    began = time.process_time()  # a busy machine's waiting is not counted
    draw(grid, [path], 0.8)
    assert time.process_time() - began < 4
    tracemalloc.start()
    draw(grid, [path], 0.8)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 30e6


def test_the_grid_does_not_move_with_the_boundary():
    small = grid_over(shapely.box(0.3, 0.3, 50, 50), LOCAL)
    large = grid_over(shapely.box(-33.3, -8.1, 70, 50), LOCAL)
    dx, dy = small.col0 - large.col0, small.row0 - large.row0
    inner = large.jitter[0][dy : dy + small.rows + 24, dx : dx + small.cols + 24]
    assert (inner == small.jitter[0]).all()
    assert Local(0.25, 53.7) == LOCAL
