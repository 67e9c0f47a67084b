"""Dates as ranges: the year that never was, spans of one year, bins and the band."""

import numpy as np
import pytest

from geo.aoristic import astronomical, chart, edges_for, historical, weights
from geo.errors import GeoError


@pytest.mark.parametrize(("year", "counted"), [(-2, -1), (-1, 0), (1, 1), (1066, 1066)])
def test_there_is_no_year_nought(year: int, counted: int) -> None:
    assert astronomical(year) == counted
    assert historical(counted) == year


def test_year_nought_is_refused() -> None:
    with pytest.raises(GeoError, match="no year 0"):
        astronomical(0)


def test_one_year_on_either_side_of_the_era_is_one_year_apart() -> None:
    assert weights([(astronomical(-1), astronomical(1))], [-1, 0, 1, 2])[0].tolist() == [0, 1, 0]


def test_a_single_year_weighs_one_in_its_own_bin_only() -> None:
    assert weights([(1200, 1200)], [1100, 1200, 1300])[0].tolist() == [0, 1]


def test_bins_are_half_open() -> None:
    assert weights([(1100, 1200)], [1100, 1200, 1300])[0].tolist() == [1, 0]


@pytest.mark.parametrize(("spans", "edges"), [([(10, 5)], [0, 20]), ([(1, 2)], [5, 5]), ([(1, 2)], [3])])
def test_what_makes_no_sense_is_refused(spans, edges) -> None:
    with pytest.raises(GeoError):
        weights(spans, edges)


@pytest.mark.parametrize(
    "spans", [[(1200, 1200)], [(43, 410), (1066, 1500)], [(-500_000, -40_000), (1900, 1950)], [(-799, 43)]]
)
def test_the_bins_hold_every_span_whole(spans) -> None:
    edges = edges_for(spans)
    assert len(edges) <= 25
    assert weights(spans, edges).sum(axis=1) == pytest.approx(np.ones(len(spans)))


def test_the_band_holds_the_expected_count_and_is_the_same_each_time() -> None:
    made = [chart([(43, 410), (1066, 1500)], [30, 8], range(0, 1600, 100)) for _ in range(2)]
    assert made[0] == made[1]
    inside = zip(made[0].low, made[0].expected, made[0].high, strict=True)
    assert all(low <= expected <= high for low, expected, high in inside)
    assert sum(made[0].expected) == pytest.approx(38)


def test_dates_known_to_the_bin_leave_no_band() -> None:
    made = chart([(1200, 1250)], [12], [1100, 1200, 1300])
    assert (made.low, made.expected, made.high) == ((0, 12), (0, 12), (0, 12))


def test_the_band_of_a_coin_tossed_is_binomial() -> None:
    """100 finds, half the span in each bin: 2.5 % and 97.5 % of a binomial of 100 and one half are 40 and 60."""
    made = chart([(1000, 1200)], [100], [1000, 1100, 1200], runs=9999)
    assert made.low[0] == pytest.approx(40, abs=1)
    assert made.high[0] == pytest.approx(60, abs=1)
