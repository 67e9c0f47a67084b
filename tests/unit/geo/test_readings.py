"""Several readings of one spot become one place that claims no more than they can bear."""

import pytest
from pyproj import Geod

from geo.errors import PositionError
from geo.gridref import figures_for
from geo.position import Country
from geo.readings import MOST_READINGS, read_spot

GEOD = Geod(ellps="WGS84")
# Invented places at sea off Spurn, square TA.
FOUR = """53.65120, 0.25030 ±4 m at 10:00
53.65122, 0.25034 ±5 m at 10:20:30
53.65119, 0.25028 +/- 3.5 m at 10:45
53.65121, 0.25031 (± 6 metres) at 11:30"""


def metres(a, b) -> float:
    return GEOD.inv(a.lon, a.lat, b[0], b[1])[2]


def test_one_line_is_read_as_before():
    spot = read_spot("TA 5520 1930", country=Country.GB)
    assert (len(spot.readings), spot.accuracy_m, spot.notes) == (1, 10.0, ())


@pytest.mark.parametrize("ending", ["±4 m", "± 4m", "+/-4", "(±4 m)", ", ± 4 metres", "±4,0 m"])
def test_an_accuracy_at_the_end_of_a_line_counts(ending):
    assert read_spot(f"TA 55201 19302 {ending}", country=Country.GB).accuracy_m == 4.0


def test_four_readings_over_an_hour_are_better_than_one_and_no_better_than_half_the_best():
    spot = read_spot(FOUR)
    assert [r.accuracy_m for r in spot.readings] == [4.0, 5.0, 3.5, 6.0]
    assert [r.at_s for r in spot.readings] == [36000, 37230, 38700, 41400]
    assert 3.5 / 2 <= spot.accuracy_m < 3.5
    assert metres(spot, (0.25030, 53.65120)) < 2
    assert spot.notes[0] == f"The place is the mean of 4 readings, good to {spot.accuracy_m:.1f} m."
    assert len(spot.notes) == 1


def test_weights_are_one_over_accuracy_squared():
    """Two readings 1 arc second of latitude apart, 1 m and 3 m: the mean stands a tenth of the way."""
    spot = read_spot("53.650000, 0.25 ±1 m\n53.650278, 0.25 ±3 m")
    assert (spot.lat - 53.65) / 0.000278 == pytest.approx(0.1, abs=0.002)


def test_readings_without_times_claim_no_more_than_one_of_them():
    line = "53.65120, 0.25030 ±4 m"
    assert read_spot("\n".join([line] * 5)).accuracy_m == pytest.approx(4.0)


def test_a_reading_that_strays_is_named_and_widens_the_answer():
    stray = FOUR + "\n53.65200, 0.25030 ±4 m at 12:10"
    spot = read_spot(stray)
    assert spot.accuracy_m > 10
    assert len(spot.notes) == 2
    # 0.0008 degrees of latitude are 89 m; the middle of the others lies 0.6 m north of the first
    assert spot.notes[1].startswith(
        "Reading 5 lies 88 m from the others, farther than their accuracies allow"
    )


def test_two_readings_far_apart_ask_for_a_third():
    spot = read_spot("53.65120, 0.25030 ±3 m\n53.65200, 0.25030 ±3 m")
    assert spot.notes[1] == (
        "The two readings lie 89 m apart, farther than their accuracies allow. Take a third."
    )


def test_unsaid_accuracies_are_taken_from_the_form_or_cautiously():
    two = "53.65120, 0.25030\n53.65121, 0.25031"
    assert read_spot(two, accuracy_m=5).accuracy_m == pytest.approx(5.0, abs=0.1)
    spot = read_spot(two)
    assert spot.accuracy_m == pytest.approx(22.0, abs=0.1)
    assert "without its accuracy (2), 22 m was taken" in spot.notes[0]


def test_a_reading_is_never_better_than_its_last_digit():
    """A six-figure reference is a square of 100 m, whatever the receiver claims: 0.599 of the side at 95 %."""
    spot = read_spot("TA 552 193 ±3 m\nTA 552 193 ±3 m", country=Country.GB)
    assert spot.accuracy_m == pytest.approx(59.9, abs=0.3)


def test_figures_follow_the_mean():
    assert figures_for(read_spot("53.65120, 0.25030 ±12 m").accuracy_m) == 6
    hours = "\n".join(f"53.65120, 0.25030 ±12 m at {h}:00" for h in range(8, 12))
    assert figures_for(read_spot(hours).accuracy_m) == 8


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("TA 5520 1930\nTA 123 45", "Line 2: .*has 3 easting figures and 2 northing figures"),
        ("TA 5520 1930\nbehind the barn ±4 m", "Line 2: .*behind the barn.* is not a position"),
        ("53.65, 0.25 ±0 m", "An accuracy of 0 m cannot be; give metres above zero"),
        ("\n".join(["53.65, 0.25"] * (MOST_READINGS + 1)), "21 readings are too many; give the best 20"),
        ("", "No position was given"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(text, words):
    with pytest.raises(PositionError, match=words):
        read_spot(text, country=Country.GB)
