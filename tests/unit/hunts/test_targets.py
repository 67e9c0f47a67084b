"""Bench readings beside what was dug: grouping, scales, and intervals that behave."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hunts.targets import Bench, Dug, ReadingsError, compare, difference, separation, wilson

SCALE = "machine A, all-metal"


def dug(target_id, *, kept, times=1):
    return [Dug(target_id, SCALE, kept)] * times


def test_rows_count_and_place_bench_items_at_their_median():
    rows = compare(
        dug(12, kept=False, times=8) + dug(12, kept=True) + dug(61, kept=True, times=3),
        [
            Bench("thin silver", SCALE, (60, 61, 65)),
            Bench("nail", SCALE, (11, 12, 30)),
            Bench("foil", SCALE, ()),
        ],
    )
    assert [(r.first_id, r.dug, r.kept, r.bench_items) for r in rows] == [
        (12, 9, 1, ("nail",)),
        (61, 3, 3, ("thin silver",)),
    ]


def test_stretches_join_ids_and_negative_ids_keep_their_place():
    rows = compare(dug(-3, kept=False) + dug(-9, kept=False) + dug(0, kept=True, times=12), width=10)
    assert [(r.first_id, r.last_id, r.dug) for r in rows] == [(-10, -1, 2), (0, 9, 12)]


def test_bench_only_row_has_no_interval():
    (row,) = compare([], [Bench("ring", SCALE, (48, 49, 50))])
    assert row.interval is None


def test_scales_never_mix():
    with pytest.raises(ReadingsError, match="machine A, all-metal, machine B"):
        compare(dug(1, kept=True), [Bench("nail", "machine B", (1,))])


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: wilson(1, 0), "0 holes give no share"),
        (lambda: wilson(5, 3), "5 kept of 3 dug; give 0 to 3"),
        (lambda: wilson(1, 3, 95), "A level of 95"),
        (lambda: compare([], width=0), "A width of 0"),
        (lambda: compare(dug(20_000, kept=True)), "Target ID 20000 is out of range"),
        (lambda: separation([], [1]), "No readings on one side"),
    ],
)
def test_errors_name_the_value_and_the_remedy(call, said):
    with pytest.raises(ReadingsError, match=said):
        call()


@given(dug_count=st.integers(1, 500), data=st.data())
def test_interval_holds_its_share_and_mirrors(dug_count, data):
    kept = data.draw(st.integers(0, dug_count))
    one, other = wilson(kept, dug_count), wilson(dug_count - kept, dug_count)
    assert 0 <= one.low <= one.share <= one.high <= 1
    assert one.low == pytest.approx(1 - other.high, abs=1e-12)


def test_interval_covers_the_truth_about_as_often_as_it_says():
    """Exact binomial coverage averaged over the true share: between 94 and 96.5 % at n = 20."""
    n, grid = 20, [k / 200 for k in range(1, 200)]
    intervals = [wilson(kept, n) for kept in range(n + 1)]
    covers = [
        sum(
            math.comb(n, k) * p**k * (1 - p) ** (n - k)
            for k, interval in enumerate(intervals)
            if interval.low <= p <= interval.high
        )
        for p in grid
    ]
    assert 0.94 < sum(covers) / len(covers) < 0.965


def test_separation_knows_nothing_and_everything():
    assert separation([1, 2, 3], [1, 2, 3]).share == 0.5
    assert separation([70, 71], [10, 12]).share == 1
    season = separation([55, 60, 61, 64, 66, 70] * 8, [8, 9, 12, 20, 35, 60] * 8)
    assert season.low > 0.8
    gap = difference(40, 50, 5, 50)
    assert gap.low > 0.5
