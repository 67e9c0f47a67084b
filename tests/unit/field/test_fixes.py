"""Fixes averaged on the phone, against the server's sums, numpy and a stated model of a receiver's error.

The model, for the simulated fixes: on each axis a Gauss-Markov error with a memory of 120 s whose standard deviation is
the reported 95 % radius over 2.4477 (the factor of a circular normal, exact). The reported accuracy is a 95 % radius
(W3C Geolocation, section "accuracy"). The memory is common practice, from memory of the noise model in geo/fixes.py.
"""

from typing import Any

import numpy as np
import pytest
from pyproj import Geod

from geo.fixes import Fix, average_fixes
from geo.local import Local
from tests.unit.field.phone import Phone

GEOD = Geod(ellps="WGS84")
LON, LAT = 0.1515, 53.6009
START_S = 1_795_000_000.0
R95_PER_SIGMA = 2.4477


def receiver(random: np.random.Generator, seconds: int, radius_m: Any, memory_s: float = 120.0) -> Any:
    """Errors in metres at one fix a second, (seconds, 2)."""
    kept = np.exp(-1 / memory_s)
    error = np.empty((seconds, 2))
    error[0] = random.normal(size=2)
    for i in range(1, seconds):
        error[i] = kept * error[i - 1] + np.sqrt(1 - kept**2) * random.normal(size=2)
    return error * (np.asarray(radius_m) / R95_PER_SIGMA).reshape(-1, 1)


def fixes(errors: Any, radius_m: Any, start_s: float = START_S) -> list[dict[str, float]]:
    lon, lat = Local(LON, LAT).inverse(errors[:, 0], errors[:, 1])
    radii = np.broadcast_to(radius_m, len(errors))
    return [
        {"lon": float(x), "lat": float(y), "accuracy_m": float(r), "at_s": start_s + i}
        for i, (x, y, r) in enumerate(zip(lon, lat, radii, strict=True))
    ]


@pytest.mark.parametrize("seed", range(20))
def test_the_mean_is_the_server_s(phone: Phone, seed: int):
    random = np.random.default_rng(seed)
    number = int(random.integers(1, 120))
    radius_m = random.uniform(1.5, 25, number)
    given = fixes(receiver(random, number, radius_m), radius_m)
    said = phone("mean", "mean", given)
    wanted = average_fixes([Fix(f["lon"], f["lat"], f["accuracy_m"], f["at_s"]) for f in given])
    assert GEOD.inv(said["lon"], said["lat"], wanted.lon, wanted.lat)[2] < 0.001
    assert said["accuracy_m"] == pytest.approx(wanted.accuracy_m, rel=1e-6)
    assert said["fixes"] == number


def test_the_place_is_numpy_s_weighted_mean(phone: Phone):
    random = np.random.default_rng(3)
    radius_m = random.uniform(2, 20, 60)
    errors = receiver(random, 60, radius_m)
    said = phone("mean", "mean", fixes(errors, radius_m))
    wanted = np.average(errors, axis=0, weights=1 / radius_m**2)
    x, y = Local(LON, LAT).forward(said["lon"], said["lat"])
    assert (float(x), float(y)) == pytest.approx(tuple(wanted), abs=0.001)


@pytest.mark.parametrize("seconds", [1, 20, 120, 600])
def test_the_claimed_radius_holds_the_place_95_times_in_100(phone: Phone, seconds: int):
    """400 runs of the model; 92 % is what chance leaves of 95 % with so many (three standard errors of 1.1 %)."""
    random = np.random.default_rng(seconds)
    held = 0
    for _ in range(400):
        radius_m = float(random.uniform(3, 15))
        errors = receiver(random, seconds, np.full(seconds, radius_m))
        said = phone("mean", "mean", fixes(errors, radius_m)[:: max(1, seconds // 60)])
        held += GEOD.inv(said["lon"], said["lat"], LON, LAT)[2] <= said["accuracy_m"]
    assert held / 400 >= 0.92


def test_ten_minutes_beat_one_fix_and_a_second_does_not(phone: Phone):
    """The error is measured against the true place: averaging helps, and claims no more than it does."""
    random = np.random.default_rng(9)
    alone, meant, claims = [], [], []
    for _ in range(150):
        given = fixes(receiver(random, 600, np.full(600, 8.0)), 8.0)[::5]
        for sample, into in ((given[:1], alone), (given, meant)):
            said = phone("mean", "mean", sample)
            into.append(GEOD.inv(said["lon"], said["lat"], LON, LAT)[2])
        claims.append(said["accuracy_m"])
    assert np.quantile(meant, 0.95) < 0.75 * np.quantile(alone, 0.95)
    assert np.median(claims) >= np.quantile(meant, 0.90)
    two = fixes(receiver(random, 2, np.full(2, 8.0)), 8.0)
    assert phone("mean", "mean", two)["accuracy_m"] > 0.95 * 8.0


def test_at_best_half_of_the_best_fix_is_claimed(phone: Phone):
    """Twenty fixes ten minutes apart are independent, but one receiver under one sky shares what never averages out."""
    given = [{"lon": LON, "lat": LAT, "accuracy_m": 8.0, "at_s": START_S + 600 * i} for i in range(20)]
    assert phone("mean", "mean", given)["accuracy_m"] == 4.0


def test_a_coarse_fix_does_not_spoil_a_fine_one(phone: Phone):
    """Errors a second apart are alike and do not cancel: 12 m averaged into 4 m would only make it worse."""
    given = [event(1, 12), event(2, 9), event(3, 4)]
    assert phone("played", "fixes", given)["best"]["accuracy_m"] == 4
    with_more = phone("played", "fixes", [*given, event(4, 5), event(5, 30)])["best"]
    assert (with_more["fixes"], with_more["method"]) == (2, "averaged")


def test_no_fixes_have_no_mean(phone: Phone):
    assert phone("mean", "mean", []) is None


def event(
    at_s: float, accuracy: float | None = 8.0, east_m: float = 0.0, north_m: float = 0.0
) -> dict[str, Any]:
    lon, lat = Local(LON, LAT).inverse(east_m, north_m)
    return {"at_s": START_S + at_s, "lon": float(lon), "lat": float(lat), "accuracy": accuracy}


def fault(at_s: float, code: int) -> dict[str, Any]:
    return {"at_s": START_S + at_s, "code": code}


def states(played: dict[str, Any]) -> list[str]:
    return [told["state"] for told in played["told"]]


def test_it_says_when_it_is_good_enough(phone: Phone):
    played = phone("played", "fixes", [event(1, 12), event(2, 9), event(3, 4)])
    assert states(played) == ["waiting", "taking", "taking", "good"]
    last = played["told"][-1]
    assert last["good"] is True
    assert last["words"] == "Good enough: within 4 m, from one fix."
    assert played["told"][1]["words"].startswith("Good to 12 m so far. Leave the phone beside the hole")
    assert played["device"]["options"] == {"enableHighAccuracy": True, "maximumAge": 0, "timeout": 30_000}


def test_the_position_is_as_records_carry_it(phone: Phone):
    best = phone("played", "fixes", [event(1, 6), event(2, 6)])["best"]
    assert (best["method"], best["fixes"]) == ("averaged", 2)
    assert best["at"] == "2026-11-18T11:06:42.000Z"
    assert 5.9 < best["accuracy_m"] <= 6
    assert phone("played", "fixes", [event(1, 6)])["best"]["method"] == "device"


def test_when_it_gets_no_better_it_says_so_and_lets_go_on(phone: Phone):
    played = phone("played", "fixes", [event(second, 14) for second in range(1, 50)])
    assert played["told"][20]["words"].startswith("Good to 14 m so far.")
    assert played["told"][-1]["words"].startswith("Good to 14 m and getting no better here. Go on with it")
    assert played["told"][-1]["good"] is False


@pytest.mark.parametrize(
    ("code", "state", "words"),
    [
        (1, "denied", "Allow it in the browser's settings"),
        (2, "unavailable", "Switch location on"),
        (3, "late", "within 30 s"),
    ],
)
def test_a_fault_says_what_to_do_and_that_one_may_go_on(phone: Phone, code, state, words):
    """GeolocationPositionError: 1 PERMISSION_DENIED, 2 POSITION_UNAVAILABLE, 3 TIMEOUT (W3C Geolocation)."""
    played = phone("played", "fixes", [fault(1, code)])
    told = played["told"][-1]
    assert (told["state"], told["position"], told["good"]) == (state, None, False)
    assert words in told["words"]
    assert "You can go on without a position" in told["words"]
    assert (played["device"]["left"] == 7) is (code == 1)  # only a refusal ends the watch


def test_after_a_fault_a_fix_is_taken_and_what_came_before_one_is_kept(phone: Phone):
    played = phone("played", "fixes", [fault(1, 3), event(40, 7), fault(90, 2)])
    assert states(played) == ["waiting", "late", "taking", "unavailable"]
    assert played["told"][-1]["words"].endswith("What came so far is kept.")
    assert played["best"]["accuracy_m"] == 7


def test_a_browser_without_positions_is_told_at_once(phone: Phone):
    told = phone("played", "without")
    assert [each["state"] for each in told] == ["waiting", "unavailable"]


@pytest.mark.parametrize("accuracy", [None, 0, -1])
def test_an_accuracy_that_is_none_is_kept_as_not_known(phone: Phone, accuracy):
    played = phone("played", "fixes", [event(1, accuracy)])
    assert played["best"]["accuracy_m"] is None
    assert played["told"][-1]["good"] is False
    assert "does not say how good" in played["told"][-1]["words"]
    better = phone("played", "fixes", [event(1, accuracy), event(2, 6), event(3, accuracy)])
    assert better["best"]["accuracy_m"] == 6


def test_a_leap_stays_out_and_a_walk_starts_afresh(phone: Phone):
    still = [event(second, 5) for second in range(1, 20)]
    leap = phone("played", "fixes", [*still, event(20, 5, east_m=60), event(21, 5)])
    assert leap["best"]["fixes"] == 20
    assert GEOD.inv(leap["best"]["lon"], leap["best"]["lat"], LON, LAT)[2] < 0.1
    walked = phone("played", "fixes", [*still, *(event(20 + i, 5, east_m=60) for i in range(4))])
    assert any(told["words"].startswith("You have moved: measuring afresh.") for told in walked["told"])
    assert walked["best"]["fixes"] == 4
    assert GEOD.inv(walked["best"]["lon"], walked["best"]["lat"], LON, LAT)[2] == pytest.approx(60, abs=0.2)


def test_an_hour_at_one_hole_stays_light(phone: Phone):
    best = phone("played", "fixes", [event(second, 8) for second in range(1, 3600)])["best"]
    assert best["fixes"] <= 301
    assert 4 <= best["accuracy_m"] < 5  # half of the best fix is the most that is claimed


def test_a_clock_set_back_does_not_stop_it(phone: Phone):
    played = phone("played", "fixes", [event(5000, 9), event(5001, 9), event(1400, 6), event(1401, 6)])
    assert played["best"]["fixes"] == 2
    assert played["best"]["accuracy_m"] <= 6


def test_after_stop_nothing_more_is_told(phone: Phone):
    played = phone("played", "fixes", [event(1, 9), {"at_s": START_S + 2, "stop": True}, event(3, 4)])
    assert len(played["told"]) == 2
    assert (played["device"]["left"], played["best"]["accuracy_m"]) == (7, 9)


def test_what_is_no_place_is_passed_over(phone: Phone):
    nowhere = {"at_s": START_S + 1, "lon": None, "lat": 95, "accuracy": 3}
    assert phone("played", "fixes", [nowhere])["best"] is None
