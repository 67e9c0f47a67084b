"""Cleaning tracks: everything a phone or an old receiver does wrong."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import shapely

from geo.track import ROLLOVER_S, TrackError, clean_track
from geo.track_parts import Part, smooth_length_m, without_stops
from geo.track_same import fingerprint, same_walk_share
from tests.unit.geo.walks import LOCAL, NOON_S, field, line, serpentine, walked

NOON = datetime.fromtimestamp(NOON_S, UTC)
DAY = (NOON - timedelta(hours=12), NOON + timedelta(hours=12))
LANES = serpentine(6, 100.0, 2.0)
STEPS = walked(LANES, points=1500)
FIELD = field(LANES)


def straight(seconds, speed_m_s=0.4, y_m=0.0):
    return np.column_stack([np.arange(seconds) * speed_m_s, np.full(seconds, y_m)])


def test_a_plain_walk_stays_whole():
    walk = clean_track([line(STEPS)], LOCAL, FIELD, day=DAY)
    assert len(walk.parts) == 1
    assert walk.notes == ()
    assert walk.length_m == pytest.approx(610, rel=0.04)  # corners are cut
    assert walk.moving_s == 1499
    assert walk.pace_m_s == pytest.approx(0.407, rel=0.04)
    assert (walk.started_s, walk.ended_s) == (NOON_S, NOON_S + 1499)
    assert (walk.strays.outside, walk.strays.in_no_go) == (0, 0)


def test_slow_sweeping_is_no_stop_but_digging_is():
    """Half-coil overlap at 3 ft/s moves forward 0.085 m/s (worked example E1)."""
    sweep = straight(1200, 0.0853)
    dig = np.repeat(sweep[-1:], 240, axis=0)
    after = sweep[-1] + straight(600, 0.0853)
    part = Part(np.concatenate([sweep, dig, after]), NOON_S + np.arange(2040.0))
    kept, stops, stopped_s = without_stops(part)
    assert stops == 1
    assert stopped_s == pytest.approx(240, abs=60)
    assert len(kept.place_m) < 1850
    assert without_stops(Part(sweep, NOON_S + np.arange(1200.0)))[1] == 0


@pytest.mark.parametrize(("sigma_m", "raw", "smooth"), [(1, 1.1, 0.06), (2, 1.2, 0.08), (3, 1.3, 0.12)])
def test_smoothing_takes_the_jitter_out_of_the_length(sigma_m, raw, smooth):
    corners = serpentine()
    noisy = walked(corners, sigma_m=sigma_m, white_m=0.15)
    true_m = float(np.hypot(*np.diff(corners, axis=0).T).sum())
    assert np.hypot(*np.diff(noisy, axis=0).T).sum() > raw * true_m
    assert smooth_length_m(Part(noisy, NOON_S + np.arange(14_400.0))) == pytest.approx(true_m, rel=smooth)


def test_gaps_are_not_bridged():
    times = NOON_S + np.r_[np.arange(500.0), np.arange(500.0) + 600]
    raw = line(straight(1000, 0.1))
    walk = clean_track([raw.__class__("w", raw.lon_lat, times, raw.hdop)], LOCAL, field(straight(1000, 0.1)))
    assert [len(part) for part in walk.parts] == [500, 500]
    assert walk.notes == ("The track has 1 gap; nothing is drawn across.",)


def test_a_receiver_that_writes_seldom_is_still_drawn():
    walk = clean_track([line(straight(60, 9.0), every_s=30)], LOCAL, field(straight(60, 9.0)))
    assert len(walk.parts) == 1
    assert walk.notes == ("The receiver wrote a point every 30 s; between points the way is drawn straight.",)


def test_vehicle_and_leaps_are_left_out():
    drive = straight(60, 8.0)
    walk_on = drive[-1] + straight(300, 0.4)
    leap = walk_on.copy()
    leap[150] += (8, 0)
    path = np.concatenate([drive, leap])
    walk = clean_track([line(path)], LOCAL, field(path))
    assert sum(len(part) for part in walk.parts) == 300
    assert any("were faster than 2.5 m/s" in note for note in walk.notes)


def test_points_far_away_are_left_out_and_counted():
    far = STEPS.copy()
    far[700:710] += (0, 200_000)
    walk = clean_track([line(far)], LOCAL, FIELD)
    assert any(
        "10 points lie more than 10 m beyond this site (the farthest 200." in note for note in walk.notes
    )
    assert sum(len(part) for part in walk.parts) == 1490
    half_world = line(STEPS)
    half_world.lon_lat[:5] = (-170.0, -40.0)
    assert any("more than 1000 km" in note for note in clean_track([half_world], LOCAL, FIELD).notes)


def test_a_track_of_another_place_is_refused_with_the_reason():
    with pytest.raises(
        TrackError, match=r"Nothing in this track lies on this ground.*1500 points lie.*200\.\d km"
    ):
        clean_track([line(STEPS + np.array([200_000, 0]))], LOCAL, FIELD)


def test_no_times_can_still_be_drawn():
    walk = clean_track([line(STEPS, timed=False)], LOCAL, FIELD, day=DAY)
    assert walk.pace_m_s is None
    assert walk.started_s is None
    assert walk.length_m == pytest.approx(610, rel=0.04)  # corners are cut
    assert walk.notes == (
        "The track has no times on some or all points: speed, stops and the day cannot be checked there.",
    )


def test_a_few_points_without_time_are_dropped():
    raw = line(STEPS)
    raw.time_s[10:20] = math.nan
    walk = clean_track([raw], LOCAL, FIELD)
    assert sum(len(part) for part in walk.parts) == 1490


def test_another_year_is_named():
    with pytest.raises(TrackError, match="The track is of 01 March 2025, not of the hunt's day"):
        clean_track([line(STEPS, start_s=NOON_S - 365 * 86_400)], LOCAL, FIELD, day=DAY)


def test_a_week_counter_that_ran_over_is_put_right():
    walk = clean_track([line(STEPS, start_s=NOON_S - ROLLOVER_S)], LOCAL, FIELD, day=DAY)
    assert walk.started_s == NOON_S
    assert "its week counter has run over" in walk.notes[0]
    assert "moved by 1024 weeks" in walk.notes[0]


def test_yesterdays_points_in_the_same_file_are_left_out():
    lines = [line(STEPS, start_s=NOON_S - 86_400), line(STEPS)]
    both = line(np.concatenate([STEPS, STEPS]))
    both.time_s[:1500] -= 86_400
    walk = clean_track([both], LOCAL, FIELD, day=DAY)
    assert walk.notes[0] == "1500 points of another day left out."
    assert clean_track(lines, LOCAL, FIELD, day=DAY).length_m == pytest.approx(walk.length_m)


def test_muddled_and_repeated_points():
    raw = line(STEPS)
    order = np.r_[750:1500, 0:750, 0:100]
    muddled = raw.__class__("w", raw.lon_lat[order], raw.time_s[order], raw.hdop[order])
    walk = clean_track([muddled], LOCAL, FIELD)
    assert walk.length_m == pytest.approx(clean_track([raw], LOCAL, FIELD).length_m)
    assert walk.notes == (
        "Points stood out of order and were sorted by time.",
        "100 repeated points were left out.",
    )


def test_strays_allow_for_accuracy():
    field_m = shapely.MultiPolygon([shapely.box(-20, -20, 60, 60)])
    shut = shapely.box(10, -10, 40, 10)
    walk = clean_track([line(straight(400, 0.17))], LOCAL, field_m, no_go=[shut], accuracy_m=5)
    assert walk.strays.outside == pytest.approx((67.8 - 65) / 0.17, abs=1)
    assert walk.strays.in_no_go == pytest.approx(20 / 0.17, abs=1)
    x, y = LOCAL.forward(*walk.strays.first_in_no_go)
    assert (float(x), float(y)) == pytest.approx((15.1, 0), abs=0.2)


def test_single_points_are_refused_with_the_remedy():
    with pytest.raises(TrackError, match="only single points on this ground; set the receiver"):
        clean_track([line(STEPS[:1])], LOCAL, FIELD)
    with pytest.raises(TrackError, match="give a track with at least two points"):
        clean_track([], LOCAL, FIELD)


def test_ten_hours_at_one_hertz():
    walk = clean_track([line(walked(LANES, points=36_000, sigma_m=2, white_m=0.1))], LOCAL, FIELD)
    assert walk.moving_s + walk.stopped_s == pytest.approx(36_000, rel=0.01)


def test_the_same_track_twice_is_recognised():
    raw = line(STEPS)
    renamed = raw.__class__("another name", raw.lon_lat.copy(), raw.time_s.copy(), raw.hdop)
    assert fingerprint([raw]) == fingerprint([renamed])
    rounded = raw.__class__("w", raw.lon_lat.round(5), raw.time_s, raw.hdop)
    assert fingerprint([raw]) != fingerprint([rounded])
    assert same_walk_share([raw], [rounded]) == 1
    companion = line(STEPS + np.array([12, 0]))
    assert same_walk_share([raw], [companion]) == 0
    assert same_walk_share([raw], [line(STEPS, start_s=NOON_S + 9999)]) == 0
    assert same_walk_share([raw], []) == 0
