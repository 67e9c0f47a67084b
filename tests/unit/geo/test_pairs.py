"""Pairs of close places against scipy's tree, shapely's tree and every pair looked at, ties at the reach included."""

import tracemalloc

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from geo import pairs
from geo.errors import GeoError
from geo.pairs import BLOCK, LEAST_REACH_M, MOST_REACH_M, close_pairs, pair_blocks, reach_m
from geo.precision import R95_PER_SIGMA

Found = set[tuple[int, int]]


def ours(x, y, accuracy, **kwargs) -> Found:
    found = close_pairs(x, y, accuracy, **kwargs)
    as_list = list(zip(found.first.tolist(), found.second.tolist(), strict=True))
    assert as_list == sorted(set(as_list))
    assert (found.distance_m <= MOST_REACH_M).all()
    return set(as_list)


def looked_at_one_by_one(x, y, accuracy) -> Found:
    """Every pair in a table."""
    x, y, accuracy = (np.asarray(values, float) for values in (x, y, accuracy))
    apart = np.hypot(x[:, None] - x, y[:, None] - y)
    reach = np.clip(np.hypot(accuracy[:, None], accuracy), LEAST_REACH_M, MOST_REACH_M)
    return {(i, j) for i, j in np.argwhere(apart <= reach).tolist() if i < j}


def by_scipy(x, y, accuracy) -> Found:
    """The widest reach asked of scipy.spatial.cKDTree, then each pair held against its own."""
    wide = cKDTree(np.column_stack([x, y])).query_pairs(MOST_REACH_M * 1.001, output_type="ndarray")
    return {
        (i, j)
        for i, j in wide.tolist()
        if np.hypot(x[i] - x[j], y[i] - y[j]) <= reach_m(accuracy[i], accuracy[j])
    }


def by_shapely(x, y, accuracy) -> Found:
    points = shapely.points(x, y)
    one, two = shapely.STRtree(points).query(points, predicate="dwithin", distance=MOST_REACH_M * 1.001)
    apart = shapely.distance(points[one], points[two])
    return {
        (int(i), int(j))
        for i, j, distance in zip(one, two, apart, strict=True)
        if i < j and distance <= reach_m(accuracy[i], accuracy[j])
    }


def scattered(count: int, side_m: float, seed: int):
    rng = np.random.default_rng(seed)
    x, y = rng.uniform(-side_m, side_m, (2, count)) + 400_000
    return x, y, rng.choice([0.02, 1.5, 4, 5, 8, 30, 700], count)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("side_m", [20, 200, 2000])
def test_scattered_places_pair_as_in_scipy_shapely_and_by_hand(side_m: float, seed: int) -> None:
    points = scattered(300, side_m, seed)
    expected = looked_at_one_by_one(*points)
    assert ours(*points) == by_scipy(*points) == by_shapely(*points) == expected
    assert expected


def test_a_pair_exactly_at_its_reach_counts_as_in_scipy_and_shapely() -> None:
    """On a lattice of whole metres many pairs are exactly 5 m apart (3-4-5), the reach of two radii of 3 and 4 m."""
    x, y = (axis.ravel().astype(float) for axis in np.meshgrid(np.arange(12), np.arange(12)))
    accuracy = np.full(len(x), 5 / np.sqrt(2))
    accuracy[::2], accuracy[1::2] = 3.0, 4.0
    near = {(i, j) for i, j in ours(x, y, accuracy) if accuracy[i] != accuracy[j]}
    by_tree = cKDTree(np.column_stack([x, y])).query_pairs(5.0)
    points = shapely.points(x, y)
    pairs_ = shapely.STRtree(points).query(points, predicate="dwithin", distance=5.0).T.tolist()
    assert near == {(i, j) for i, j in by_tree if accuracy[i] != accuracy[j]}
    assert near == {(i, j) for i, j in pairs_ if i < j and accuracy[i] != accuracy[j]}
    assert any(np.hypot(x[i] - x[j], y[i] - y[j]) == 5.0 for i, j in near)


@given(
    st.lists(
        st.tuples(
            st.integers(-60, 60).map(lambda n: n / 2),
            st.integers(-60, 60).map(lambda n: n / 2),
            st.sampled_from([0.0, 2.0, 2.2, 3.0, 4.0, 9.0, 36.0, 80.0]),
        ),
        max_size=40,
    )
)
def test_any_places_pair_as_when_looked_at_one_by_one(rows) -> None:
    x, y, accuracy = (np.array(column, float) for column in (zip(*rows, strict=True) if rows else ([],) * 3))
    assert ours(x, y, accuracy) == looked_at_one_by_one(x, y, accuracy)


@given(st.integers(0, 50), st.floats(-1e6, 1e6))
def test_moving_everything_or_naming_it_in_another_order_changes_nothing(seed: int, shift: float) -> None:
    x, y, accuracy = scattered(60, 40, seed)
    order = np.random.default_rng(seed).permutation(60)
    moved = ours(np.round(x[order] + shift, 3), np.round(y[order], 3), accuracy[order])
    still = looked_at_one_by_one(np.round(x + shift, 3), np.round(y, 3), accuracy)
    assert {tuple(sorted((int(order[i]), int(order[j])))) for i, j in moved} == still


def test_only_like_kinds_pair_when_kinds_are_given() -> None:
    x, y, accuracy = scattered(400, 60, 9)
    kind = np.random.default_rng(1).integers(-3, 4, 400)
    alike = {(i, j) for i, j in looked_at_one_by_one(x, y, accuracy) if kind[i] == kind[j]}
    assert ours(x, y, accuracy, kind=kind) == alike


def test_the_reach_is_2_45_of_both_errors_together() -> None:
    # geo.md section 4: max(3 m, 2.45 sqrt(s1² + s2²)); a 95 % radius is 2.4477 s.
    s1, s2 = 2.0, 3.0
    assert reach_m(R95_PER_SIGMA * s1, R95_PER_SIGMA * s2) == pytest.approx(
        2.4477 * np.hypot(s1, s2), abs=1e-3
    )
    assert reach_m(0.02, 0.02) == LEAST_REACH_M
    assert reach_m(700, 5) == MOST_REACH_M


def test_thousands_in_one_spot_are_given_in_blocks_without_filling_the_memory() -> None:
    """4,000 in one cell make 8 million pairs: a table of all of them would take 128 MB and more."""
    count = 4_000
    x, y = np.random.default_rng(3).uniform(0, 1, (2, count))
    tracemalloc.start()
    found = sum(len(block) for block in pair_blocks(x, y, np.full(count, 4.0)))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found == count * (count - 1) // 2
    assert peak < BLOCK * 8 * 16


def test_a_crowded_place_spans_blocks_and_loses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pairs, "BLOCK", 7)
    points = scattered(60, 12, 5)
    assert ours(*points) == looked_at_one_by_one(*points)


@pytest.mark.parametrize(
    ("x", "accuracy", "words"),
    [
        ([0.0, float("nan")], [1, 1], "nan is no coordinate"),
        ([0.0, 1.0], [1, float("inf")], "inf is no accuracy"),
        ([0.0, 1.0], [1, -4], "-4 m cannot be"),
        ([0.0, 1.0], [1], "do not belong together"),
    ],
)
def test_what_is_no_place_is_named(x: list[float], accuracy: list[float], words: str) -> None:
    with pytest.raises(GeoError, match=words):
        close_pairs(x, [0.0, 0.0], accuracy)


def test_nothing_and_one_place_make_no_pair() -> None:
    assert ours([], [], []) == ours([1.0], [1.0], [5.0]) == set()
