"""Grid references: letters of the published squares, truncation and honest figures.

E14: a worked example quoted in guidance for recording finds (SK 12599 95799 cut to 8, 6 and 4 figures; the 8
and 4 derived). OSG: Ordnance Survey, A Guide to Coordinate Systems in Great Britain v3.6, section 5. W3C:
Geolocation API, `accuracy` is a 95 % confidence level.
"""

import math

import pytest

from geo.areas import Country
from geo.gridref import describe_position, figures_for, grid_reference
from geo.letters import british_letters, british_origin, irish_letter, irish_origin, reference
from geo.precision import Measure, square_of, to_r95
from geo.transform import from_national_grid


@pytest.mark.parametrize(
    ("figures", "expected"), [(10, "SK 12599 95799"), (8, "SK 1259 9579"), (6, "SK 125 957"), (4, "SK 12 95")]
)
def test_e14_truncates_and_never_rounds(figures, expected):
    assert reference("SK", 412_599, 395_799, figures) == expected


@pytest.mark.parametrize(
    ("accuracy_m", "expected"),
    [(0.01, "SK 12599 95799"), (5, "SK 1259 9579"), (60, "SK 125 957"), (500, "SK 12 95")],
)
def test_e14_from_a_place_on_the_ground(accuracy_m, expected):
    place = from_national_grid(412_599.5, 395_799.5)
    found = grid_reference(place.lon, place.lat, accuracy_m=accuracy_m, country=Country.GB, frame_m=0.0)
    assert found == expected


def test_e14_squares_are_the_same_cut():
    place = from_national_grid(412_599.5, 395_799.5)
    labels = [
        square_of(place.lon, place.lat, size, Country.GB).label
        for size in (1, 10, 100, 1000, 10_000, 100_000)
    ]
    assert labels == ["SK 12599 95799", "SK 1259 9579", "SK 125 957", "SK 12 95", "SK 1 9", "SK"]


@pytest.mark.parametrize(
    ("letters", "easting", "northing"),
    [
        ("SV", 0, 0),  # OSG section 5: the false origin is the south-west corner of SV
        ("TG", 600_000, 300_000),  # OSG section 5: Caister, TG 51409 13177, is 651409 313177
        ("TA", 500_000, 400_000),
        ("HP", 400_000, 1_200_000),
        ("NN", 200_000, 700_000),
    ],
)
def test_british_squares(letters, easting, northing):
    assert british_origin(letters) == (easting, northing)
    assert british_letters(easting + 1, northing + 99_999) == letters


@pytest.mark.parametrize(
    ("letter", "corner"), [("V", (0, 0)), ("N", (200_000, 200_000)), ("O", (300_000, 200_000))]
)
def test_irish_squares(letter, corner):
    """Common knowledge: V holds the origin, Dublin is in O, the middle in N."""
    assert irish_origin(letter) == corner
    assert irish_letter(corner[0] + 99_999, corner[1]) == letter


def test_a_phone_in_the_open_supports_eight_figures_with_either_transformation():
    """5 m (W3C 95 %) with 0.9 m of frame and 0.17 m of OSTN15 is 5.1 m; with the Helmert's 3 m it is 5.9 m."""
    assert math.sqrt(5**2 + 0.9**2 + 0.17**2) == pytest.approx(5.1, abs=0.05)
    assert math.sqrt(5**2 + 0.9**2 + 3.0**2) == pytest.approx(5.9, abs=0.05)
    assert figures_for(5.0) == figures_for(5.0, transformation_m=3.0) == 8


def test_the_description_shows_figures_and_accuracy_together():
    place = from_national_grid(651_409.804, 313_177.450)
    assert describe_position(place.lon, place.lat, 6.8, Country.GB) == "TG 5140 1317 (±7 m)"


@pytest.mark.parametrize(
    ("measure", "factor"),
    [
        (Measure.R68, 1.621),
        (Measure.RMS, 1.731),
        (Measure.CEP50, 2.079),
        (Measure.SIGMA, 2.4477),
        (Measure.R95, 1.0),
    ],
)
def test_accuracy_figures_become_95_percent_radii(measure, factor):
    """Rayleigh distribution: r_p = sigma sqrt(-2 ln(1 - p)), rms = sigma sqrt 2."""
    assert to_r95(10.0, measure) == pytest.approx(10 * factor, rel=5e-4)
