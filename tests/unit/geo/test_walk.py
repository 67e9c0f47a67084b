"""A short walk past points: against every order for few points, and what must always hold."""

from itertools import permutations
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.errors import GeoError
from geo.walk import short_walk, walk_length_m

FIELD = st.tuples(st.floats(0.150, 0.153), st.floats(53.600, 53.602))


def shortest(points, start=None):
    """The length of the shortest open path, by trying every order."""
    lead = [] if start is None else [start]
    best = float("inf")
    for order in permutations(range(len(points))):
        way = [*lead, *(points[place] for place in order)]
        best = min(best, walk_length_m(way, range(len(way))))
    return best


def scattered(seed, count):
    rng = Random(seed)
    return [(rng.uniform(0.150, 0.153), rng.uniform(53.600, 53.602)) for _ in range(count)]


@pytest.mark.parametrize("count", [1, 2, 3, 5, 7])
def test_close_to_the_shortest_of_all_orders(count):
    """Brute force over all orders is the outside check: never over 12 % longer, on average within 2 %."""
    ratios = []
    for seed in range(12 if count < 7 else 4):
        points = scattered(seed, count)
        best = shortest(points)
        ratios.append(walk_length_m(points, short_walk(points)) / best if best else 1.0)
    assert max(ratios) <= 1.12
    assert sum(ratios) / len(ratios) <= 1.02


def test_close_to_the_shortest_from_a_gate():
    gate = (0.1500, 53.6000)
    for seed in range(8):
        points = scattered(seed, 6)
        way = [gate, *(points[place] for place in short_walk(points, gate))]
        assert walk_length_m(way, range(7)) <= 1.12 * shortest(points, gate)


def test_points_on_a_line_are_walked_from_end_to_end():
    points = [(0.15 + step * 1e-4, 53.6) for step in (4, 0, 3, 1, 2)]
    assert short_walk(points) in ([1, 3, 4, 2, 0], [0, 2, 4, 3, 1])
    assert short_walk(points, (0.149, 53.6)) == [1, 3, 4, 2, 0]


@given(st.lists(FIELD, max_size=25), st.one_of(st.none(), FIELD))
@settings(max_examples=60, deadline=None)
def test_every_point_is_passed_once(points, start):
    assert sorted(short_walk(points, start)) == list(range(len(points)))


def test_all_in_one_place_is_a_walk_too():
    assert sorted(short_walk([(0.15, 53.6)] * 9)) == list(range(9))


def test_better_than_the_order_of_digging():
    points = scattered(7, 60)
    assert walk_length_m(points, short_walk(points)) < 0.35 * walk_length_m(points, range(60))


def test_across_the_date_line_it_does_not_walk_round_the_world():
    points = [(179.9999, 0.0), (-179.9999, 0.0), (179.9998, 0.0)]
    assert walk_length_m(points, short_walk(points)) == pytest.approx(33.4, abs=0.1)


@pytest.mark.parametrize("bad", [(float("nan"), 53.6), (0.15, float("inf"))])
def test_what_is_no_place_is_named(bad):
    with pytest.raises(GeoError, match="is no place"):
        short_walk([bad])


def test_too_many_points_are_refused():
    with pytest.raises(GeoError, match="2,001 points are too many"):
        short_walk([(0.15, 53.6)] * 2001)
