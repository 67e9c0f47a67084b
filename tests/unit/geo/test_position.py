"""What a parsed position carries, and round trips through every grid."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.areas import Country, System, is_british_side, is_irish_side
from geo.errors import PositionError
from geo.gridref import grid_reference
from geo.measure import GEOD
from geo.position import parse_position, parse_positions
from geo.precision import square_of
from geo.transform import to_itm, to_sweref99_tm
from geo.utm import from_utm, mgrs_reference, to_utm

MODERATE = settings(max_examples=30, deadline=None)
ACCURACY_FOR = {10: 0.3, 8: 8.0, 6: 90.0, 4: 900.0, 2: 9_000.0}
british = st.tuples(st.floats(-3.9, -0.3), st.floats(50.9, 55.0))
irish = st.tuples(st.floats(-9.5, -6.6), st.floats(52.3, 54.9))
anywhere = st.tuples(st.floats(-179.9, 179.9), st.floats(-79.9, 83.9))


def metres_between(lon1, lat1, lon2, lat2):
    return GEOD.inv(lon1, lat1, lon2, lat2)[2]


@pytest.mark.parametrize("figures", ACCURACY_FOR)
@MODERATE
@given(place=british)
def test_british_reference_reads_back_to_the_same_reference(figures, place):
    reference = grid_reference(*place, accuracy_m=ACCURACY_FOR[figures], country=Country.GB, frame_m=0.0)
    read = parse_position(reference, country=Country.GB)
    assert sum(c.isdigit() for c in reference) == figures
    assert square_of(read.lon, read.lat, read.resolution_m, Country.GB).label == reference
    assert metres_between(*place, read.lon, read.lat) <= 0.708 * read.resolution_m + 0.01


@pytest.mark.parametrize("figures", [10, 8, 6, 4])
@MODERATE
@given(place=irish)
def test_irish_reference_reads_back_to_the_same_reference(figures, place):
    # The survey's own transformation is good to 0.4 m, so ten figures need a better than perfect receiver.
    accuracy = {10: 0.5, 8: 8.0, 6: 90.0, 4: 900.0}[figures]
    reference = grid_reference(*place, accuracy_m=accuracy, country=Country.IE, frame_m=0.0)
    read = parse_position(reference, country=Country.IE)
    assert sum(c.isdigit() for c in reference) == figures
    assert square_of(read.lon, read.lat, read.resolution_m, Country.IE).label == reference
    assert metres_between(*place, read.lon, read.lat) <= 0.708 * read.resolution_m + 0.01


@MODERATE
@given(place=anywhere)
def test_military_reference_reads_back_to_the_same_metre(place):
    point = to_utm(*place)
    reference = mgrs_reference(point, 10)
    read = parse_position(reference, country=Country.OTHER)
    assert read.system is System.MGRS
    assert metres_between(*place, read.lon, read.lat) < 0.75
    assert mgrs_reference(to_utm(read.lon, read.lat, point.zone), 10)[4:] == reference[4:]


@MODERATE
@given(place=anywhere)
def test_utm_and_back_is_the_same_place(place):
    point = to_utm(*place)
    back = from_utm(point.zone, point.easting, point.northing, south=place[1] < 0)
    assert metres_between(*place, back.lon, back.lat) < 1e-6


@MODERATE
@given(place=st.tuples(st.floats(-179.9, 179.9), st.floats(-89.9, 89.9)), decimals=st.integers(3, 7))
def test_degrees_read_back_whatever_the_form(place, decimals):
    lon, lat = place
    if round(lat, decimals) == 0 or round(lon, decimals) == 0:
        return
    ns, ew = "NS"[lat < 0], "EW"[lon < 0]
    forms = [
        f"{lat:.{decimals}f}, {lon:.{decimals}f}",
        f"{abs(lat):.{decimals}f}{ns} {abs(lon):.{decimals}f}{ew}",
        f"{ew}{abs(lon):.{decimals}f} {ns}{abs(lat):.{decimals}f}",
        f"geo:{lat:.{decimals}f},{lon:.{decimals}f}",
    ]
    for form in forms:
        read = parse_position(form, country=Country.OTHER)
        assert read.lat == pytest.approx(round(lat, decimals), abs=1e-9)
        assert read.lon == pytest.approx(round(lon, decimals), abs=1e-9)


def test_a_typed_position_says_how_well_it_is_known():
    read = parse_position("TA 4550 1930")
    assert read.system is System.NATIONAL_GRID
    assert read.transformation == "OSTN15"
    assert read.transformation_accuracy_m == 0.17
    assert read.accuracy_m == pytest.approx(5.99, abs=0.01)  # 0.599 of a 10 m square, with 0.17 m


def test_bare_metres_belong_to_the_country_s_grid():
    itm = to_itm(-6.9, 53.4)
    for country in (Country.IE, Country.NI):
        read = parse_position(f"{itm.easting:.3f} {itm.northing:.3f}", country=country)
        assert (read.system, round(read.lon, 7), round(read.lat, 7)) == (System.ITM, -6.9, 53.4)


def test_swedish_metres_may_come_northing_first():
    """SWEREF 99 TM is written northing first in Sweden; seven figures cannot be an easting."""
    point = to_sweref99_tm(13.2, 55.7)
    for text in (f"{point.northing:.2f} {point.easting:.2f}", f"{point.easting:.2f} {point.northing:.2f}"):
        read = parse_position(text, country=Country.SE)
        assert (round(read.lon, 6), round(read.lat, 6)) == (13.2, 55.7)


def test_danish_metres_are_utm_zone_32():
    point = to_utm(9.2, 55.7, 32)
    read = parse_position(f"{point.easting:.2f} {point.northing:.2f}", country=Country.DK)
    assert (round(read.lon, 6), round(read.lat, 6)) == (9.2, 55.7)


def test_a_link_to_a_view_says_that_it_is_only_the_view():
    view = parse_position("https://map.example/@53.65000,0.20000,15z")
    mark = parse_position("https://map.example/?q=53.65000,0.20000")
    assert "middle of a map view" in view.transformation
    assert "middle" not in mark.transformation


def test_a_reference_inside_a_link_is_read_too():
    read = parse_position("https://map.example/?gridref=TG51409+13177")
    assert read.system is System.NATIONAL_GRID
    assert read.text == "https://map.example/?gridref=TG51409+13177"


def test_lower_case_s_is_seconds_after_minutes_and_south_otherwise():
    assert parse_position("51d28m40.08s N, 0d12m01s W").lat == pytest.approx(51.4778, abs=1e-9)
    assert parse_position("51.4778s 0.2e", country=Country.OTHER).lat == -51.4778


def test_a_list_names_the_line_that_fails():
    with pytest.raises(PositionError) as caught:
        parse_positions("TA 4550 1930\n\n# gate\nTA 455 19\n")
    assert str(caught.value).startswith("Line 4: “TA 455 19” has 3 easting figures and 2 northing figures")


def test_far_out_at_sea_degrees_are_written_for_no_map_has_those_letters():
    assert grid_reference(0.0, 56.0, accuracy_m=5, country=Country.GB) == "56.0000, 0.0000"
    assert grid_reference(-6.5, 51.8, accuracy_m=5, country=Country.IE) == "51.8000, -6.5000"


def test_the_two_sides_of_the_irish_sea():
    """Headlands and islands, from charts: each falls to its own grid."""
    british_side = {"Mull of Kintyre": (-5.80, 55.30), "Rhins": (-5.19, 54.86), "Smalls": (-5.67, 51.72)}
    irish_side = {
        "Ards": (-5.43, 54.48),
        "Rathlin": (-6.20, 55.30),
        "Tuskar": (-6.20, 52.20),
        "Dublin": (-6.26, 53.35),
    }
    assert all(is_british_side(*p) and not is_irish_side(*p) for p in british_side.values())
    assert all(is_irish_side(*p) and not is_british_side(*p) for p in irish_side.values())
    assert is_british_side(-4.55, 54.2)  # the Isle of Man uses the National Grid
