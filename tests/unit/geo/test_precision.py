"""Squares that say no more than they should, figures that claim no more than they can, and averages that stay
honest.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.areas import Country
from geo.errors import GeoError
from geo.fixes import Fix, average_fixes
from geo.gridref import decimal_degrees, describe_position, figures_for, grid_reference
from geo.letters import FIGURES_SIZE_M
from geo.local import Local
from geo.measure import GEOD, area_m2
from geo.precision import Measure, combined_accuracy_m, square_accuracy_m, square_of, to_r95
from geo.transform import (
    helmert_to_national_grid,
    national_grid_place,
    to_irish_grid,
    to_itm,
    to_national_grid,
)

MODERATE = settings(max_examples=30, deadline=None)
SIZES = sorted(FIGURES_SIZE_M.values())
places = st.one_of(
    st.tuples(st.floats(-4.5, 0.9), st.floats(50.9, 57.5), st.just(Country.GB)),
    st.tuples(st.floats(-9.5, -6.3), st.floats(51.7, 54.9), st.just(Country.IE)),
    st.tuples(st.floats(5.1, 30.0), st.floats(57.6, 71.0), st.just(Country.NO)),
    st.tuples(st.floats(-120.0, -70.0), st.floats(25.0, 49.0), st.just(Country.US)),
)


@pytest.mark.parametrize("size_m", [1.0, 100.0, 1000.0])
@MODERATE
@given(place=places)
def test_the_square_holds_the_place(size_m, place):
    lon, lat, country = place
    square = square_of(lon, lat, size_m, country)
    # Ring edges are chords of the grid's curved lines: over 1 km they stray by millimetres.
    assert shapely.Polygon(square.ring).buffer(5e-8).covers(shapely.Point(lon, lat))
    assert area_m2(shapely.Polygon(square.ring)) == pytest.approx(size_m**2, rel=3e-3)
    assert square.ring[0] == square.ring[-1]
    assert shapely.LinearRing(square.ring).is_ccw


@MODERATE
@given(
    place=st.tuples(st.floats(-4.4, 0.8), st.floats(51.0, 57.4)),
    east=st.floats(0.02, 0.98),
    north=st.floats(0.02, 0.98),
)
def test_every_place_in_a_square_gives_the_very_same_square(place, east, north):
    """So looking again, or at another find beside it, never tells more."""
    square = square_of(*place, 1000.0, Country.GB)
    (w, s), (e, _), (_, n) = square.ring[0], square.ring[1], square.ring[2]
    lon = square.ring[0][0] + east * (e - w) + north * (square.ring[3][0] - w)
    lat = s + north * (square.ring[3][1] - s) + east * (square.ring[1][1] - s)
    assert n > s
    assert square_of(lon, lat, 1000.0, Country.GB) == square


@MODERATE
@given(place=places)
def test_a_coarser_square_holds_every_finer_one(place):
    lon, lat, country = place
    squares = [square_of(lon, lat, size, country) for size in SIZES]
    for fine, coarse in pairwise(squares):
        assert (
            Local(lon, lat)
            .to_metres(shapely.Polygon(coarse.ring))
            .buffer(coarse.size_m * 0.01)
            .covers(Local(lon, lat).to_metres(shapely.Point(fine.centre_lon, fine.centre_lat)))
        )


@pytest.mark.parametrize(("size_m", "label"), [(100.0, "49.7964, -1.9937"), (1000.0, "49.797, -1.994")])
def test_a_square_without_letters_is_named_by_its_middle(size_m, label):
    """In the Channel the British letters would be XE, which is no map's square and would not be read back."""
    place = national_grid_place(400_500.0, -11_500.0)
    square = square_of(place.lon, place.lat, size_m, Country.GB)
    assert square.label == label
    lat, lon = map(float, label.split(", "))
    assert square_of(lon, lat, size_m, Country.GB) == square


@pytest.mark.parametrize("size_m", [0, 7, 50, 1e6, -10])
def test_only_cells_of_the_grid_are_squares(size_m):
    with pytest.raises(GeoError, match="not a cell of the grid"):
        square_of(0.2, 53.65, size_m, Country.GB)


@pytest.mark.parametrize(
    ("accuracy_m", "figures"),
    [
        (0.01, 10),
        (0.39, 10),
        (0.5, 8),
        (1, 8),
        (5, 8),
        (9.9, 8),
        (10, 6),
        (99, 6),
        (100, 4),
        (999, 4),
        (1000, 2),
        (2e4, 0),
        (2e5, -1),
    ],
)
def test_figures_follow_the_radius(accuracy_m, figures):
    assert figures_for(accuracy_m) == figures


def test_a_reference_of_its_own_frame_is_not_charged_for_the_satellites():
    assert figures_for(0.9, frame_m=0.0) == 10
    assert figures_for(0.9) == 8


def test_unknown_accuracy_is_taken_as_poor():
    assert figures_for(None) == 6
    assert describe_position(0.2, 53.65, None, Country.GB) == "TA 455 193 (accuracy not recorded)"


@MODERATE
@given(accuracy=st.floats(0.01, 5000), place=st.tuples(st.floats(-3.9, -0.3), st.floats(50.9, 55.0)))
def test_no_reference_claims_more_than_its_accuracy(accuracy, place):
    reference = grid_reference(*place, accuracy_m=accuracy, country=Country.GB)
    assert FIGURES_SIZE_M[sum(c.isdigit() for c in reference)] >= accuracy


@pytest.mark.parametrize(
    ("accuracy_m", "text"),
    [(0.3, "(±0.3 m)"), (1.0, "(±1 m)"), (6.2, "(±7 m)"), (30.0, "(±30 m)")],
)
def test_the_accuracy_is_shown_rounded_up(accuracy_m, text):
    assert describe_position(0.2, 53.65, accuracy_m, Country.GB).endswith(text)


@pytest.mark.parametrize(
    ("country", "lon", "lat", "expected"),
    [
        (Country.NI, -6.0, 54.6, "J 29"),
        (Country.IM, -4.5, 54.2, "SC 3"),
        (Country.OTHER, 2.35, 48.85, "48.8500, 2.3500"),
        (Country.GB, 2.35, 48.85, "48.8500, 2.3500"),
        (Country.US, -95.0, 40.0, "40.0000, -95.0000"),
    ],
)
def test_each_country_has_its_own_grid_and_the_rest_degrees(country, lon, lat, expected):
    assert grid_reference(lon, lat, accuracy_m=7, country=country).startswith(expected)


@pytest.mark.parametrize(
    ("accuracy_m", "expected"),
    [(0.0, "53.6500000, 0.2000000"), (1.0, "53.65000, 0.20000"), (11.2, "53.650, 0.200"), (2e5, "54, 0")],
)
def test_degrees_have_no_more_decimals_than_they_can_bear(accuracy_m, expected):
    assert decimal_degrees(0.2, 53.65, accuracy_m=accuracy_m) == expected


def test_off_the_official_grid_the_fallback_says_its_name_and_error():
    """49.8 N 2 W is in the Channel, inside the British box and south of the grid of shifts' first row."""
    lon, lat = -2.0, 49.8
    point = to_national_grid(lon, lat)
    assert point == helmert_to_national_grid(lon, lat)
    assert point.transformation.startswith("Helmert")
    assert point.accuracy_m == 3.0


@pytest.mark.parametrize(("lon", "lat"), [(2.35, 48.85), (-2.1, 49.2), (0.0, 0.0), (-6.26, 53.35)])
def test_nothing_falls_silently_onto_the_british_grid(lon, lat):
    with pytest.raises(GeoError, match="outside the British National Grid"):
        to_national_grid(lon, lat)


@pytest.mark.parametrize("convert", [to_irish_grid, to_itm])
def test_nothing_falls_silently_onto_the_irish_grids(convert):
    with pytest.raises(GeoError, match="outside Ireland"):
        convert(-1.0, 53.0)


def test_accuracy_figures_must_be_distances():
    for bad in (-1.0, math.nan, math.inf):
        with pytest.raises(GeoError, match="not a distance"):
            to_r95(bad, Measure.R95)


def test_dilution_gives_an_estimate_from_a_3_m_ranging_error():
    """r95 = 1.731 x hdop x 3 m (common practice; the receiver itself says no metres)."""
    assert to_r95(1.0, Measure.HDOP) == pytest.approx(5.19, abs=0.01)


def test_independent_errors_add_in_squares():
    assert combined_accuracy_m(3, 4) == 5
    assert combined_accuracy_m() == 0


def test_a_square_s_radius_holds_95_percent_of_its_points():
    """Checked by counting: 0.599 of the side."""
    points = np.random.default_rng(1).uniform(-0.5, 0.5, size=(200_000, 2))
    assert np.mean(np.hypot(*points.T) <= square_accuracy_m(1.0)) == pytest.approx(0.95, abs=0.002)


def test_averaging_fixes_without_times_claims_nothing():
    same = [Fix(0.2, 53.65, 5.0)] * 30
    average = average_fixes(same)
    assert average.accuracy_m == pytest.approx(5.0)
    assert average.independent == pytest.approx(1.0)


def test_a_minute_of_fixes_is_hardly_better_than_one():
    average = average_fixes([Fix(0.2, 53.65, 5.0, float(t)) for t in range(60)])
    assert 4.5 < average.accuracy_m < 5.0
    assert average.independent < 1.2


def test_fixes_on_separate_days_help_down_to_half():
    few = average_fixes([Fix(0.2, 53.65, 5.0, t * 86_400.0) for t in range(3)])
    many = average_fixes([Fix(0.2, 53.65, 5.0, t * 86_400.0) for t in range(100)])
    assert few.accuracy_m == pytest.approx(5 / math.sqrt(3), rel=1e-6)
    assert few.independent == pytest.approx(3)
    assert many.accuracy_m == 2.5


def test_correlation_sum_equals_the_full_matrix():
    """The one-pass sum against the matrix written out."""
    times = [0.0, 30.0, 45.0, 400.0, 400.0]
    radii = np.array([4.0, 6.0, 5.0, 3.0, 8.0])
    average = average_fixes([Fix(0.2, 53.65, r, t) for r, t in zip(radii, times, strict=True)])
    share = (1 / radii**2) / (1 / radii**2).sum() * radii
    matrix = np.exp(-np.abs(np.subtract.outer(times, times)) / 120)
    assert average.accuracy_m == pytest.approx(math.sqrt(share @ matrix @ share))


def test_better_fixes_pull_harder():
    average = average_fixes([Fix(0.2, 53.65, 1.0, 0.0), Fix(0.2001, 53.65, 10.0, 3600.0)])
    _, _, off = GEOD.inv(0.2, 53.65, average.lon, average.lat)
    assert off == pytest.approx(6.61 / 101, rel=0.01)


def test_scatter_wider_than_claimed_widens_the_result():
    apart = average_fixes([Fix(0.2, 53.65, 2.0, 0.0), Fix(0.2006, 53.65, 2.0, 3600.0)])
    assert apart.accuracy_m > 20


def test_no_fixes_and_impossible_accuracies_are_refused():
    with pytest.raises(GeoError, match="no fixes"):
        average_fixes([])
    with pytest.raises(GeoError, match="not usable"):
        average_fixes([Fix(0.2, 53.65, 0.0)])
