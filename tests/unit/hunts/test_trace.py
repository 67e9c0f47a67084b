"""A trace gives back its points to 0.1 m and its seconds, and is small."""

import numpy as np
import pytest

from geo.gpx import Line
from geo.track_same import same_walk_share
from hunts.trace import TraceError, pack_trace, unpack_trace
from tests.unit.geo.walks import line, serpentine, walked


def test_points_and_seconds_come_back() -> None:
    lines = [
        line(walked(serpentine(), points=500)),
        line(walked(serpentine(), points=40, seed=2), timed=False),
    ]
    back = unpack_trace(pack_trace(lines))
    assert [len(each.lon_lat) for each in back] == [500, 40]
    for old, new in zip(lines, back, strict=True):
        assert np.abs(old.lon_lat - new.lon_lat).max() <= 0.5e-6 + 1e-12
        assert np.array_equal(old.time_s, new.time_s, equal_nan=True)


def test_a_trace_is_the_same_walk_as_its_file() -> None:
    walk = line(walked(serpentine(), points=900, sigma_m=2))
    assert same_walk_share(unpack_trace(pack_trace([walk])), [walk]) == 1


def test_ten_hours_at_one_point_a_second_stay_small() -> None:
    walk = line(walked(serpentine(60), points=36_000, sigma_m=2, white_m=0.15))
    assert len(pack_trace([walk])) < 120_000


def test_times_decades_apart_and_one_lost_second_survive() -> None:
    places = np.array([[0.25, 53.7], [0.2501, 53.7], [-3.0, -53.7]])
    walk = Line("x", places, np.array([0.0, np.nan, 1_772_366_400.0]), np.full(3, np.nan))
    (back,) = unpack_trace(pack_trace([walk]))
    assert np.array_equal(back.time_s, walk.time_s, equal_nan=True)
    assert np.allclose(back.lon_lat, places, atol=1e-6)


def test_nothing_packs_to_nothing() -> None:
    assert unpack_trace(pack_trace([])) == []


@pytest.mark.parametrize("cut", [0, 5, 20])
def test_broken_bytes_are_said_to_be_broken(cut: int) -> None:
    with pytest.raises(TraceError):
        unpack_trace(pack_trace([line(walked(serpentine(), points=50))])[:cut])


def test_another_layout_is_refused() -> None:
    with pytest.raises(TraceError):
        unpack_trace(b"\x09" + pack_trace([line(walked(serpentine(), points=50))])[1:])
