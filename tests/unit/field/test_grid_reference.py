"""A grid reference said offline against the survey's published points and against geo's own transformation.

Sources: the 40 points of OSTN15's developer pack (Ordnance Survey, Transformations and OSGM15 User Guide v1.3, 2020,
as in tests/sources/test_grid_transformations.py); Irish and UTM references by geo, which other tests hold against
published points. A phone's position allows eight figures at most; ten are asked for here to show the last metre.
"""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import mapping

from field.grids import MARGINS_M, TOLERANCE_M, grid_fits
from geo.areas import Country
from geo.gridref import decimal_degrees, grid_reference
from geo.local import Local
from geo.ostn import to_osgb36
from geo.utm import mgrs_reference, to_utm
from tests.sources.test_grid_transformations import OST_POINTS
from tests.unit.field.phone import Phone


@dataclass(frozen=True)
class Field:
    country: Country
    boundary: Any
    code: str = "RS01"


def field(lon: float, lat: float, country: Country = Country.GB, side_m: float = 400) -> Field:
    half = side_m / 2
    flat = shapely.box(-half, -half, half, half)
    return Field(country, dict(mapping(Local(lon, lat).to_degrees(flat))))


def places(lon: float, lat: float, reach_m: float, number: int) -> list[tuple[float, float]]:
    random = np.random.default_rng(round(abs(lat) * 1000))
    lons, lats = Local(lon, lat).inverse(*random.uniform(-reach_m, reach_m, (2, number)))
    return [(float(x), float(y)) for x, y in zip(lons, lats, strict=True)]


def on_edge(metres: tuple[float, float], size_m: float, worst_m: float) -> bool:
    """So near the edge of a square that the fit's own residual may name the neighbour."""
    return any(min(m % size_m, size_m - m % size_m) <= worst_m for m in metres)


@pytest.mark.parametrize(("name", "lat", "lon", "easting", "northing"), OST_POINTS)
def test_the_fit_meets_the_survey_s_published_points(phone: Phone, name, lat, lon, easting, northing):
    fine = grid_fits(field(lon, lat))[0]
    east, north = phone("gridref", "metresOn", fine, {"lon": lon, "lat": lat})
    assert np.hypot(east - easting, north - northing) < TOLERANCE_M
    assert fine["worst_m"] < TOLERANCE_M


@pytest.mark.parametrize(
    "point", [OST_POINTS[index] for index in (1, 5, 9, 13, 21, 25, 29, 33, 39)], ids=lambda p: p[0]
)
@pytest.mark.parametrize(("accuracy_m", "figures"), [(0.3, 10), (5.0, 8), (40.0, 6)])
def test_a_reference_offline_is_the_server_s_own(phone: Phone, point, accuracy_m, figures):
    """In the site and 500 m round it, at ten, eight and six figures, but where a residual of centimetres decides."""
    _, lat, lon, _, _ = point
    fits = grid_fits(field(lon, lat))
    compared = 0
    for x, y in places(lon, lat, 700, 40):
        said = phone("gridref", "reference", {"lon": x, "lat": y, "accuracy_m": accuracy_m}, fits)
        wanted = grid_reference(x, y, accuracy_m=accuracy_m, country=Country.GB)
        e, n = to_osgb36(x, y)
        size_m = {10: 1, 8: 10, 6: 100}[figures]
        if not on_edge((float(e[0]), float(n[0])), size_m, fits[0]["worst_m"]):
            compared += 1
            assert said["text"] == wanted
            assert sum(map(str.isdigit, said["text"])) == figures
            assert said["name"] == "British National Grid"
    assert compared > 30


@pytest.mark.parametrize(
    ("lon", "lat", "country"),
    [
        (-6.5, 54.4, Country.NI),
        (-9.7, 52.27, Country.IE),
        (-6.25, 53.35, Country.IE),
        (-8.2, 54.98, Country.IE),
    ],
)
def test_an_irish_reference_offline_is_the_server_s_own(phone: Phone, lon, lat, country):
    fits = grid_fits(field(lon, lat, country))
    for x, y in places(lon, lat, 700, 40):
        said = phone("gridref", "reference", {"lon": x, "lat": y, "accuracy_m": 4.0}, fits)
        assert said["text"] == grid_reference(x, y, accuracy_m=4.0, country=country)
        assert said["name"] == "Irish Grid"


@pytest.mark.parametrize(
    ("lon", "lat", "country"),
    [
        (12.0, 57.5, Country.SE),  # where zones 32 and 33 meet
        (6.0, 63.999, Country.NO),  # where 32V, widened for Norway, meets 31W and 32W
        (20.999, 78.2, Country.NO),  # Svalbard: 33X and 35X
        (-90.0, 0.001, Country.OTHER),  # on the equator, where two zones and two hemispheres meet
        (151.2, -33.85, Country.OTHER),
        (10.1, 56.2, Country.DK),
    ],
)
def test_elsewhere_it_is_the_military_grid_s(phone: Phone, lon, lat, country):
    """NGA.STND.0037: zones, bands and squares where the fix lies, not where the site's middle does."""
    fits = grid_fits(field(lon, lat, country))
    compared = 0
    for x, y in places(lon, lat, 700, 60):
        point = to_utm(x, y)
        if on_edge((point.easting, point.northing), 1, 0.01):
            continue
        compared += 1
        said = phone("gridref", "reference", {"lon": x, "lat": y, "accuracy_m": 0.5}, fits)
        assert said["text"] == mgrs_reference(point, 10)
    assert compared > 40


def test_a_site_over_four_squares_names_each(phone: Phone):
    """The corner of SD, SE, SJ and SK: E 400000, N 400000."""
    corner = (-2.0016, 53.4966)
    fits = grid_fits(field(*corner, side_m=1000))
    said = set()
    for x, y in places(*corner, 900, 80):
        text = phone("gridref", "reference", {"lon": x, "lat": y, "accuracy_m": 5.0}, fits)["text"]
        assert text == grid_reference(x, y, accuracy_m=5.0, country=Country.GB) or text[-1] in "09"
        said.add(text[:2])
    assert said == {"SD", "SE", "SJ", "SK"}


def test_on_the_way_home_the_wider_fit_answers(phone: Phone):
    """Whoever needs help at the gate is 2 km from the field, and has a reference still."""
    fits = grid_fits(field(0.15, 53.6))
    lon, lat = (float(v) for v in Local(0.15, 53.6).inverse(2000, 1500))
    said = phone("gridref", "reference", {"lon": lon, "lat": lat, "accuracy_m": 8.0}, fits)
    assert said["text"] == grid_reference(lon, lat, accuracy_m=8.0, country=Country.GB)
    assert MARGINS_M[-1] > 2500


@pytest.mark.parametrize("turn", [1, -1])
def test_of_two_fits_the_finer_answers(phone: Phone, turn: int):
    fine, wide = grid_fits(field(0.15, 53.6))
    off = {**wide, "e0": wide["e0"] + 2000, "worst_m": fine["worst_m"] + 0.01}
    at = {"lon": 0.15, "lat": 53.6, "accuracy_m": 5.0}
    said = phone("gridref", "reference", at, [fine, off][::turn])["text"]
    assert said == grid_reference(0.15, 53.6, accuracy_m=5.0, country=Country.GB)


def test_beyond_every_fit_degrees_are_said_and_nothing_is_guessed(phone: Phone):
    fits = grid_fits(field(0.15, 53.6))
    said = phone("gridref", "reference", {"lon": 0.4, "lat": 53.6, "accuracy_m": 8.0}, fits)
    assert (said["text"], said["name"]) == ("53.6000, 0.4000", "latitude, longitude")
    assert (
        phone("gridref", "reference", {"lon": 0.4, "lat": 53.6, "accuracy_m": 8.0})["text"]
        == "53.6000, 0.4000"
    )


@pytest.mark.parametrize(
    "accuracy_m", [0.05, 0.3, 0.5, 3, 9.9, 10, 22, 99, 800, 12_000, 99_000, 300_000, None]
)
def test_the_figures_and_the_decimals_are_the_server_s(phone: Phone, accuracy_m):
    """The finest square whose side is no less than the 95 % radius; the same for decimals of a degree."""
    fits = grid_fits(field(0.15, 53.6))
    said = phone("gridref", "reference", {"lon": 0.15012, "lat": 53.60034, "accuracy_m": accuracy_m}, fits)
    assert said["text"] == grid_reference(0.15012, 53.60034, accuracy_m=accuracy_m, country=Country.GB)
    assert said["degrees"] == decimal_degrees(0.15012, 53.60034, accuracy_m=accuracy_m)


def test_an_accuracy_of_nothing_is_not_believed(phone: Phone):
    fits = grid_fits(field(0.15, 53.6))
    said = phone("gridref", "reference", {"lon": 0.15, "lat": 53.6, "accuracy_m": 0}, fits)
    assert said["text"] == grid_reference(0.15, 53.6, accuracy_m=None, country=Country.GB)
    assert said["accuracy"] == "Your phone does not say how good this position is."


@pytest.mark.parametrize(
    ("accuracy_m", "words"), [(0.34, "Good to 0.3 m"), (6.01, "Good to 7 m"), (7, "Good to 7 m")]
)
def test_the_accuracy_in_words_is_never_better_than_it_is(phone: Phone, accuracy_m, words):
    assert phone("gridref", "accuracyWords", accuracy_m).startswith(words + " ")


def test_a_large_estate_is_fitted_in_pieces():
    """Where one polynomial is not within 0.1 m the box is cut in four, until it is."""
    fits = grid_fits(field(-3.0, 54.5, side_m=60_000))
    assert len(fits) > 2
    assert max(fit["worst_m"] for fit in fits) < TOLERANCE_M


def test_a_field_s_fits_are_light():
    assert len(json.dumps(grid_fits(field(0.15, 53.6)))) < 1500


@pytest.mark.parametrize("point", OST_POINTS[::3], ids=lambda p: p[0])
def test_the_worst_residual_is_told_truly(phone: Phone, point):
    """At places the fit never saw, over the site and 500 m: no worse than told, but for what a net of 41 can miss."""
    _, lat, lon, _, _ = point
    fine = grid_fits(field(lon, lat))[0]
    random = places(lon, lat, 690, 60)
    e, n = to_osgb36(*zip(*random, strict=True))
    said = np.array([phone("gridref", "metresOn", fine, {"lon": x, "lat": y}) for x, y in random])
    assert np.hypot(said[:, 0] - e, said[:, 1] - n).max() <= 1.1 * fine["worst_m"] + 1e-4


TORN = [[[179.9, 1], [-179.9, 1], [-179.9, 1.1], [179.9, 1.1], [179.9, 1]]]


@pytest.mark.parametrize(
    "boundary",
    [{}, {"type": "MultiPolygon", "coordinates": []}, {"type": "Polygon", "coordinates": TORN}],
)
def test_no_grid_is_made_up_where_none_can_be(boundary):
    assert grid_fits(Field(Country.OTHER, boundary)) == []


def test_beyond_the_grids_near_a_pole_there_is_none():
    """UTM ends at 84 north; the site may reach 85."""
    assert grid_fits(field(20, 84.5, Country.NO)) == []
