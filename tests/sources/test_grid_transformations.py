"""Published points of the British and Irish grids against our transformations.

OSG: Ordnance Survey, A Guide to Coordinate Systems in Great Britain v3.6 (2020). OST: Ordnance Survey,
Transformations and OSGM15 User Guide v1.3 (2020) and the 40 points of its developer pack's test files
(OSTN15_OSGM15_TestInput_ETRStoOSGB.txt and TestOutput; TP05, TP14, TP22 and TP30 as quoted by others to 8
decimals). GN7: IOGP 373-7-2 (October 2020), method 9648. MMC: OSi/OSNI, Making Maps Compatible with GPS
(1999), as quoted by others.
"""

import math

import numpy as np
import pytest

from geo.errors import PositionError
from geo.irish import datum_shift
from geo.ostn import from_osgb36, to_osgb36
from geo.transform import (
    from_irish_grid,
    from_itm,
    from_national_grid,
    helmert_to_national_grid,
    to_irish_grid,
    to_itm,
    to_national_grid,
)

OST_POINTS = [  # id, ETRS89 latitude, longitude, OSGB36 easting, northing
    ("TP01", 49.9222639373, -6.29977752014, 91492.146, 11318.804),
    ("TP02", 49.9600613782, -5.20304609998, 170370.718, 11572.405),
    ("TP03", 50.4388582561, -4.10864563561, 250359.811, 62016.569),
    ("TP04", 50.57563665, -1.2978227724, 449816.371, 75335.861),
    ("TP05", 50.93127938, -1.45051434, 438710.920, 114792.250),
    ("TP06", 51.4007822014, -3.5512834924, 292184.870, 168003.465),
    ("TP07", 51.3744702555, 1.44454730409, 639821.835, 169565.858),
    ("TP08", 51.4275474302, -2.54407618349, 362269.991, 169978.690),
    ("TP09", 51.4893656495, -0.1199255718, 530624.974, 178388.464),
    ("TP10", 51.858908964, -4.3085247696, 241124.584, 220332.641),
    ("TP11", 51.8943663735, 0.89724327012, 599445.590, 225722.826),
    ("TP12", 52.2552938163, -2.15458614387, 389544.190, 261912.153),
    ("TP13", 52.2516095123, -0.9124895697, 474335.969, 262047.755),
    ("TP14", 52.75136687, 0.40153547, 562180.547, 319784.995),
    ("TP15", 52.9621910941, -1.19747655922, 454002.834, 340834.943),
    ("TP16", 53.3448028019, -2.6404932081, 357455.843, 383290.436),
    ("TP17", 53.4162851604, -4.28918069756, 247958.971, 393492.909),
    ("TP18", 53.4163092542, -4.28917792869, 247959.241, 393495.583),
    ("TP19", 53.7791102576, -3.04045490691, 331534.564, 431920.794),
    ("TP20", 53.8002151963, -1.66379168242, 422242.186, 433818.701),
    ("TP21", 54.0866631808, -4.63452168212, 227778.330, 468847.388),
    ("TP22", 54.11685144, -0.07773133, 525745.670, 470703.214),
    ("TP23", 54.3291954101, -4.38849118133, 244780.636, 495254.887),
    ("TP24", 54.8954234042, -2.93827741149, 339921.145, 556034.761),
    ("TP25", 54.9791227366, -1.61657685184, 424639.355, 565012.703),
    ("TP26", 55.8539995295, -4.29649016251, 256340.925, 664697.269),
    ("TP27", 55.9247826551, -3.29479219337, 319188.434, 670947.534),
    ("TP28", 57.0060669605, -5.8283669185, 167634.202, 797067.144),
    ("TP29", 57.1390251896, -2.04856030746, 397160.491, 805349.736),
    ("TP30", 57.48625001, -4.21926399, 267056.768, 846176.972),
    ("TP31", 57.8135183841, -8.57854456076, 9587.909, 899448.996),
    ("TP32", 58.2126224718, -7.59255560556, 71713.132, 938516.404),
    ("TP33", 58.515603613, -6.26091455533, 151968.652, 966483.780),
    ("TP34", 58.5812046128, -3.72631022121, 299721.891, 967202.992),
    ("TP35", 59.0374387119, -3.21454001115, 330398.323, 1017347.016),
    ("TP36", 59.0933503532, -4.41757674598, 261596.778, 1025447.602),
    ("TP37", 59.096716174, -5.82799339844, 180862.461, 1029604.114),
    ("TP38", 59.5347079449, -1.62516966058, 421300.525, 1072147.239),
    ("TP39", 59.8540991389, -1.27486910356, 440725.073, 1107878.448),
    ("TP40", 60.1330809166, -2.07382822798, 395999.668, 1138728.951),
]
CAISTER = (1 + 42 / 60 + 57.8662 / 3600, 52 + 39 / 60 + 28.8282 / 3600, 651409.804, 313177.450)
TRALEE = (-(9 + 40 / 60 + 23.292 / 3600), 52 + 17 / 60 + 12.413 / 3600)
DEGREE_M = 111_200.0


def test_all_forty_points_of_the_survey_are_here():
    assert [point[0] for point in OST_POINTS] == [f"TP{number:02}" for number in range(1, 41)]


def dms(degrees: int, minutes: int, seconds: float) -> float:
    return degrees + minutes / 60 + seconds / 3600


@pytest.mark.parametrize(("name", "lat", "lon", "easting", "northing"), OST_POINTS)
def test_ostn15_meets_the_survey_s_own_points_to_2_mm(name, lat, lon, easting, northing):
    point = to_national_grid(lon, lat)
    assert point.transformation == "OSTN15"
    assert math.hypot(point.easting - easting, point.northing - northing) < 0.002


@pytest.mark.parametrize(("name", "lat", "lon", "easting", "northing"), OST_POINTS)
def test_ostn15_undone_meets_the_survey_s_own_points_to_2_mm(name, lat, lon, easting, northing):
    place = from_national_grid(easting, northing)
    off_n = (place.lat - lat) * DEGREE_M
    off_e = (place.lon - lon) * DEGREE_M * math.cos(math.radians(lat))
    assert math.hypot(off_e, off_n) < 0.002


def test_the_guide_s_worked_example_at_caister():
    """OST annex A, example A.2: shifts of 102.801 m east and -78.236 m north."""
    lon, lat, easting, northing = CAISTER
    point = to_national_grid(lon, lat)
    assert (point.easting, point.northing) == pytest.approx((easting, northing), abs=0.002)


def test_the_guide_s_helmert_example():
    """OSG annex D: GRS80 53 36 43.1653 N 1 39 51.9920 W to E 422297.792 N 412878.741; its height moves it 7
    mm.
    """
    point = helmert_to_national_grid(-dms(1, 39, 51.9920), dms(53, 36, 43.1653))
    assert math.hypot(point.easting - 422297.792, point.northing - 412878.741) < 0.01


def test_helmert_stays_within_the_error_it_is_labelled_with():
    """OSG section 6.6 states 3 m at 95 %: so at least 95 % of the test points, and none beyond 5 m."""
    errors = []
    for _, lat, lon, easting, northing in OST_POINTS:
        point = helmert_to_national_grid(lon, lat)
        errors.append(math.hypot(point.easting - easting, point.northing - northing))
    assert (
        np.mean(np.array(errors) < point.accuracy_m) > 0.80
    )  # the points sit at the rim, more than land does
    assert max(errors) < 5.0


def test_ostn15_gives_nothing_rather_than_a_guess_outside_its_grid():
    """OST section 3: the transformation is defined on the grid only. Paris, Jersey and 0, 0 have none."""
    east, north = to_osgb36([2.35, -2.1, 0.0], [48.85, 49.2, 0.0])
    assert np.isnan(east).all()
    assert np.isnan(north).all()
    assert np.isnan(from_osgb36([-5000.0], [100.0])[0]).all()


@pytest.mark.parametrize(
    ("place", "lon", "lat"),
    [
        ("St Agnes, Scilly", -6.343, 49.892),
        ("Herma Ness, Unst", -0.877, 60.842),
        ("Muckle Flugga", -0.885, 60.855),
    ],
)
def test_the_far_ends_of_britain_are_on_the_survey_s_grid(place, lon, lat):
    """OST section 3: the shifts cover E 0 to 700 km and N 0 to 1250 km whole. Within 5 m of the Helmert, as all is."""
    point, rough = to_national_grid(lon, lat), helmert_to_national_grid(lon, lat)
    back = from_national_grid(point.easting, point.northing)
    assert point.transformation == back.transformation == "OSTN15"
    assert (back.lon, back.lat) == pytest.approx((lon, lat), abs=2e-8)
    assert math.hypot(point.easting - rough.easting, point.northing - rough.northing) < 5


def test_the_sea_west_of_the_grid_has_no_reference_rather_than_one_below_zero():
    with pytest.raises(PositionError, match="outside the British National Grid"):
        to_national_grid(-8.0, 50.0)
    assert np.isnan(to_osgb36([-8.0], [50.0])[0]).all()


def test_irish_polynomial_meets_the_published_example():
    """GN7, method 9648: TM75 55 N 6 30 W gives +0.0000297229 and -0.0009491261 degrees."""
    d_lon, d_lat = datum_shift(-6.5, 55.0)
    assert float(d_lat) == pytest.approx(0.0000297229, abs=1e-10)
    assert float(d_lon) == pytest.approx(-0.0009491261, abs=1e-10)


def test_irish_grid_of_the_tralee_station():
    """OSi station list (second-hand): 85877.532, 116277.960. The guide's misprint (A30 for B30) would be 21
    mm out.
    """
    point = to_irish_grid(*TRALEE)
    assert math.hypot(point.easting - 85877.532, point.northing - 116277.960) < 0.002


def test_irish_grid_undone_meets_the_tralee_station():
    place = from_irish_grid(85877.532, 116277.960)
    assert (place.lon, place.lat) == pytest.approx(TRALEE, abs=2e-8)


def test_itm_of_the_tralee_station():
    """OSi station list (second-hand): 485852.637, 616330.815; its degrees have 1 mas, so 15 mm."""
    point = to_itm(*TRALEE)
    assert math.hypot(point.easting - 485852.637, point.northing - 616330.815) < 0.016
    assert (from_itm(point.easting, point.northing).lon) == pytest.approx(TRALEE[0], abs=1e-10)


def test_irish_grid_agrees_with_the_booklet_within_its_level():
    """MMC level 2 (seven parameters, 1 m): 271707.427, 248879.641 is 53 29 06.96076 N 6 55 13.92595 W."""
    place = from_irish_grid(271707.427, 248879.641)
    off_n = (place.lat - dms(53, 29, 6.96076)) * DEGREE_M
    off_e = (place.lon + dms(6, 55, 13.92595)) * DEGREE_M * math.cos(math.radians(53.5))
    assert math.hypot(off_e, off_n) < 1.0
