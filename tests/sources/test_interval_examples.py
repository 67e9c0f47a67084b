"""Published intervals of shares and differences, and an independent library where one is installed."""

import pytest

from hunts.targets import difference, separation, wilson


@pytest.mark.parametrize(
    ("kept", "dug", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_interval_as_published(kept, dug, low, high):
    """Newcombe 1998, Statistics in Medicine 17, 857-872, table I, method 3 (from memory, 4 figures)."""
    interval = wilson(kept, dug)
    assert interval.low == pytest.approx(low, abs=5e-5)
    assert interval.high == pytest.approx(high, abs=5e-5)


@pytest.mark.parametrize(
    ("counts", "low", "high"),
    [((56, 70, 48, 80), 0.0524, 0.3339), ((9, 10, 3, 10), 0.1705, 0.8090), ((10, 10, 0, 10), 0.6075, 1.0)],
)
def test_difference_of_shares_as_published(counts, low, high):
    """Newcombe 1998, Statistics in Medicine 17, 873-890, table II, method 10 (from memory, 4 figures)."""
    interval = difference(*counts)
    assert interval.low == pytest.approx(low, abs=5e-5)
    assert interval.high == pytest.approx(high, abs=5e-5)


def test_area_and_error_as_published():
    """Hanley and McNeil 1982, table I and II (from memory):

    51 abnormal, 58 normal images, area 0.893, error 0.032.
    """
    abnormal = [1] * 3 + [2] * 2 + [3] * 2 + [4] * 11 + [5] * 33
    normal = [1] * 33 + [2] * 6 + [3] * 6 + [4] * 11 + [5] * 2
    area = separation(abnormal, normal)
    assert area.share == pytest.approx(0.893, abs=5e-4)
    assert (area.high - area.share) / 1.959964 == pytest.approx(0.032, abs=1e-3)


@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_wilson_interval_against_an_independent_library(level):
    """scipy.stats.binomtest(...).proportion_ci(method="wilson"); not a dependency of the project."""
    stats = pytest.importorskip(
        "scipy.stats", reason="scipy is not installed here; the published values still ran"
    )
    for dug in (1, 2, 7, 30, 211):
        for kept in range(0, dug + 1, max(1, dug // 9)):
            theirs = stats.binomtest(kept, dug).proportion_ci(level, method="wilson")
            ours = wilson(kept, dug, level)
            assert ours.low == pytest.approx(theirs.low, abs=1e-10)
            assert ours.high == pytest.approx(theirs.high, abs=1e-10)
