"""UTM and MGRS against published values.

GL: GeographicLib documentation and test suite (WGS84, 33.3 N 44.4 E). NGA: NGA.STND.0037, The Universal Grids
and the Transverse Mercator and Polar Stereographic Map Projections (2014), for zones, bands and letters.
"""

import pytest

from geo.position import parse_position
from geo.utm import band_at, mgrs_reference, square_letters, to_utm, zone_at


def test_utm_of_the_geographiclib_example():
    """GL: 38n 444140.54 3684706.36."""
    point = to_utm(44.4, 33.3)
    assert (point.zone, point.band) == (38, "S")
    assert (point.easting, point.northing) == pytest.approx((444140.54, 3684706.36), abs=0.01)


def test_mgrs_of_the_geographiclib_example():
    """GL: 38SMB4414084706."""
    assert mgrs_reference(to_utm(44.4, 33.3), 10).replace(" ", "") == "38SMB4414084706"


def test_mgrs_digits_are_truncated_and_read_at_the_centre():
    """GL: 38SMB4488 is the square E [444, 445) N [3688, 3689) km; its representative point is the centre."""
    read = parse_position("38SMB4488")
    point = to_utm(read.lon, read.lat)
    assert (point.easting, point.northing) == pytest.approx((444_500, 3_688_500), abs=0.01)
    assert read.resolution_m == 1000


@pytest.mark.parametrize(
    ("lon", "lat", "zone"),
    [
        (-180.0, 0.0, 1),
        (179.999, 0.0, 60),
        (5.0, 60.0, 32),  # NGA: 32V is widened over south-west Norway
        (2.9, 60.0, 31),
        (5.0, 55.9, 31),
        (8.9, 78.0, 31),  # NGA: 31X, 33X, 35X and 37X share Svalbard, the even zones are not used
        (9.0, 78.0, 33),
        (20.9, 78.0, 33),
        (21.0, 78.0, 35),
        (33.0, 78.0, 37),
        (41.9, 78.0, 37),
    ],
)
def test_zones_follow_the_standard_and_its_exceptions(lon, lat, zone):
    assert zone_at(lon, lat) == zone


@pytest.mark.parametrize(
    ("lat", "band"), [(-80, "C"), (-0.001, "M"), (0, "N"), (33.3, "S"), (56, "V"), (72, "X"), (84, "X")]
)
def test_bands_follow_the_standard(lat, band):
    assert band_at(lat) == band


@pytest.mark.parametrize(
    ("zone", "easting", "northing", "letters"),
    [
        (1, 166_021, 0, "AA"),  # NGA: zone 1 starts at A, A on the equator
        (2, 166_021, 0, "JF"),  # NGA: even zones start five rows on
        (3, 166_021, 0, "SA"),
        (38, 444_140, 3_684_706, "MB"),
    ],
)
def test_square_letters_follow_the_standard(zone, easting, northing, letters):
    assert square_letters(zone, easting, northing) == letters
