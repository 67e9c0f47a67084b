"""Scribbles are refused before they cost memory; honest outlines are not."""

import time
import tracemalloc

import numpy as np
import pytest
import shapely

from geo.cut import split
from geo.errors import BoundaryError
from geo.files import FileError, read_places
from geo.polygon import check_boundary
from geo.tangle import is_tangled


def scribble(points, seed=1):
    """A polygon of random points in a square of 0.01 degrees; about one pair of edges in four or five crosses."""
    rng = np.random.default_rng(seed)
    return shapely.Polygon(
        np.column_stack([0.2 + rng.random(points) * 0.01, 53.7 + rng.random(points) * 0.01])
    )


def crossings(polygon):
    """Counted pair by pair, by GEOS."""
    edges = np.array(shapely.get_coordinates(polygon))
    lines = shapely.linestrings(np.stack([edges[:-1], edges[1:]], axis=1))
    pairs = shapely.STRtree(lines).query(lines, predicate="crosses")
    return pairs.shape[1] // 2


@pytest.mark.parametrize("points", [200, 500])
def test_the_guess_is_near_the_count(points, monkeypatch):
    true = crossings(scribble(points))
    monkeypatch.setattr("geo.tangle.MOST_CROSSINGS", true * 0.8)
    assert is_tangled(scribble(points))
    monkeypatch.setattr("geo.tangle.MOST_CROSSINGS", true * 1.25)
    assert not is_tangled(scribble(points))


def test_a_walked_outline_is_not_tangled():
    """1,200 points with 1 m of noise, as a receiver of middling quality records them."""
    turns = np.linspace(0, 2 * np.pi, 1200)
    noise = np.random.default_rng(2).normal(0, 1.5e-5, (1200, 2))
    ring = np.column_stack([0.2 + 0.003 * np.cos(turns), 53.7 + 0.002 * np.sin(turns)]) + noise
    assert not is_tangled(shapely.Polygon(ring))
    assert check_boundary(shapely.geometry.mapping(shapely.Polygon(ring))).repaired


def test_a_scribble_is_refused_quickly_and_cheaply():
    given = shapely.geometry.mapping(scribble(20_000))
    tracemalloc.start()
    began = time.process_time()  # a busy machine's waiting is not counted
    with pytest.raises(BoundaryError, match="too tangled to mend"):
        check_boundary(given)
    assert time.process_time() - began < 20
    assert tracemalloc.get_traced_memory()[1] < 50e6
    tracemalloc.stop()


def test_a_scribble_among_places_is_left_out_and_said():
    with pytest.raises(FileError, match="1 outline too tangled to mend was left out"):
        read_places(f"SRID=4326;{scribble(2000).wkt}".encode(), "f")


def test_nobody_cuts_along_a_scribble():
    field = shapely.geometry.mapping(shapely.box(0.2, 53.7, 0.21, 53.71))
    with pytest.raises(BoundaryError, match="too tangled to cut along"):
        split(field, shapely.LineString(shapely.get_coordinates(scribble(1000))))


def test_holes_and_blocks_are_not_joined_by_edges_of_their_own():
    blocks = shapely.MultiPolygon([shapely.box(x, 0, x + 0.5, 0.5) for x in range(300)])
    assert not is_tangled(blocks)
