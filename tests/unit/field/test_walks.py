"""The track recorded on the phone: thinned, in parts, its gaps said as gaps, and good enough for the server's cleaning.

Outside check: geo/track.py cleans what the phone recorded of a synthetic serpentine whose length is known.
"""

from typing import Any

import numpy as np
import pytest
import shapely

from geo.gpx import Line
from geo.local import Local
from geo.track import clean_track
from tests.unit.field.phone import Phone

LOCAL = Local(0.1515, 53.6009)
START_S = 1_795_000_000


def walk(seconds: Any, metres: Any, accuracy: float = 4.0) -> list[dict[str, Any]]:
    lon, lat = LOCAL.inverse(metres[:, 0], metres[:, 1])
    return [
        {"at_s": START_S + float(t), "lon": float(x), "lat": float(y), "accuracy": accuracy}
        for t, x, y in zip(seconds, lon, lat, strict=True)
    ]


def straight(seconds: Any, pace_m_s: float = 0.5) -> Any:
    return np.column_stack([np.asarray(seconds) * pace_m_s, np.zeros(len(seconds))])


def parts(phone: Phone, events: list[dict[str, Any]], stop: bool = True) -> dict[str, Any]:
    end = [{"at_s": events[-1]["at_s"], "stop": True}] if stop else []
    return phone("played", "walk", [*events, *end])


def joined(told: list[dict[str, Any]]) -> list[list[float]]:
    """The points of the closed parts, the shared ones once."""
    rows: list[list[float]] = []
    for part in told:
        if part["closed"]:
            rows += part["points"][1:] if rows and part["points"][0] == rows[-1] else part["points"]
    return rows


def test_ten_hours_come_in_parts_of_300_points_that_join(phone: Phone):
    seconds = np.arange(0, 36_000)
    played = parts(phone, walk(seconds, straight(seconds, 0.2)))
    told = played["told"]
    assert [part["part"] for part in told] == list(range(1, len(told) + 1))
    assert all(len(part["points"]) <= 300 and part["closed"] for part in told)
    assert len(told) <= 26
    rows = joined(told)
    assert len(rows) == sum(len(part["points"]) for part in told) - (len(told) - 1)
    assert np.diff([row[0] for row in rows]).max() <= 5
    assert sum(len(part["gaps"]) for part in told) == 0
    assert played["words"] == "Track: 600 min recorded, no gap."


def test_a_sleeping_phone_leaves_a_gap_that_is_said(phone: Phone):
    seconds = np.concatenate([np.arange(0, 600), np.arange(1500, 2100), np.arange(2114, 2200)])
    played = parts(phone, walk(seconds, straight(seconds)))
    gaps = [gap for part in played["told"] for gap in part["gaps"]]
    assert gaps == [[START_S + 599, START_S + 1500]]  # 14 s are no gap; the server breaks a line from 15 s
    assert played["words"] == "Track: 22 min recorded; 1 gap of 15 min when the phone slept or saw no sky."
    rows = joined(played["told"])
    assert not [row for row in rows if START_S + 599 < row[0] < START_S + 1500]


def test_fixes_too_coarse_to_say_which_lane_are_a_gap_too(phone: Phone):
    good, bad = np.arange(0, 60), np.arange(60, 120)
    events = (
        walk(good, straight(good))
        + walk(bad, straight(bad), accuracy=80)
        + walk([120, 121], straight([120, 121]))
    )
    played = parts(phone, events)
    assert [gap for part in played["told"] for gap in part["gaps"]] == [[START_S + 59, START_S + 120]]
    assert all(row[3] == 4.0 for row in joined(played["told"]))


def test_whoever_stands_still_leaves_a_point_every_five_seconds(phone: Phone):
    seconds = np.arange(0, 301)
    rows = joined(parts(phone, walk(seconds, np.zeros((301, 2))))["told"])
    assert [row[0] - START_S for row in rows] == list(range(0, 301, 5))


def test_a_walk_leaves_a_point_every_two_metres(phone: Phone):
    seconds = np.arange(0, 121)
    rows = joined(parts(phone, walk(seconds, straight(seconds, 1.0)))["told"])
    x, _ = LOCAL.forward([row[2] for row in rows], [row[1] for row in rows])
    assert np.diff(x).max() < 3.01
    assert len(rows) >= 40


def test_a_hidden_page_puts_down_what_it_has_and_goes_on_with_the_same_part(phone: Phone):
    first, second = np.arange(0, 60), np.arange(70, 130)
    hide = [{"at_s": START_S + 60, "hidden": True}, {"at_s": START_S + 69, "hidden": False}]
    told = parts(phone, [*walk(first, straight(first)), *hide, *walk(second, straight(second))])["told"]
    assert [(part["part"], part["closed"]) for part in told] == [(1, False), (1, True)]
    assert told[1]["points"][: len(told[0]["points"])] == told[0]["points"]


def test_a_clock_set_back_begins_another_part(phone: Phone):
    """Times within a part only go on; what was recorded before stays."""
    first, second = np.arange(5000, 5060), np.arange(100, 160)
    told = parts(phone, walk(first, straight(first)) + walk(second, straight(second)))["told"]
    assert [part["part"] for part in told] == [1, 2]
    for part in told:
        assert np.all(np.diff([row[0] for row in part["points"]]) > 0)


def test_fixes_stamped_by_the_satellites_come_by_the_phone_s_own_clock(phone: Phone):
    """The phone is a day out and its fixes are not: one offset must hold for all times of a record."""
    seconds = np.arange(0, 60)
    events = [{**each, "stamped_s": each["at_s"] - 86_400} for each in walk(seconds, straight(seconds))]
    rows = joined(parts(phone, events)["told"])
    assert rows[0][0] == START_S
    assert rows[-1][0] <= START_S + 59


def test_nothing_recorded_is_said_as_that(phone: Phone):
    played = phone("played", "walk", [{"at_s": START_S, "code": 1}, {"at_s": START_S, "stop": True}])
    assert (played["told"], played["words"]) == ([], "Track: nothing recorded yet.")
    assert played["device"]["left"] == 7


@pytest.mark.parametrize("seed", range(3))
def test_the_server_gets_the_length_of_the_walk_out_of_it(phone: Phone, seed: int):
    """Eight lanes of 80 m, 3 m apart, at 0.5 m/s with 1 m of jitter: within 6 %, as geo/track_parts.py has it."""
    corners = [(x, 3.0 * lane - 12) for lane in range(8) for x in ((-40, 40) if lane % 2 == 0 else (40, -40))]
    points = np.array(corners)
    reach = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    seconds = np.arange(0, reach[-1] / 0.5)
    true = np.column_stack([np.interp(seconds * 0.5, reach, points[:, axis]) for axis in (0, 1)])
    random = np.random.default_rng(seed)
    slow = np.repeat(random.normal(0, 0.5, (len(seconds) // 20 + 1, 2)), 20, axis=0)[: len(seconds)]
    rows = np.array(joined(parts(phone, walk(seconds, true + slow))["told"]))
    line = Line("phone", rows[:, [2, 1]].copy(), rows[:, 0].copy(), np.full(len(rows), np.nan))
    cleaned = clean_track([line], LOCAL, shapely.box(-100, -100, 100, 100), no_go=[], accuracy_m=4.0)
    assert cleaned.length_m == pytest.approx(reach[-1], rel=0.06)
