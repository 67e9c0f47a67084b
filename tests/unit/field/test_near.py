"""Distances and directions on the phone against PROJ's geodesics and shapely, its words against the server's judgement.

Outside checks: pyproj.Geod (Karney's geodesics on WGS84) for distances and azimuths, shapely for what is nearest and
what is inside. The accuracy is a 95 % radius (W3C Geolocation, section "accuracy").
"""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod
from shapely.geometry import mapping
from shapely.ops import nearest_points

from geo.inside import Verdict, judge_inside
from geo.local import Local
from tests.unit.field.phone import Phone

GEOD = Geod(ellps="WGS84")
POINTS = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"]
FIELD = shapely.box(0.150, 53.600, 0.153, 53.6018)  # about 198 by 200 m


def position(lon: float, lat: float, accuracy_m: float | None = 5.0) -> dict:
    return {"lon": lon, "lat": lat, "accuracy_m": accuracy_m}


def site(shape, *no_go, code: str = "RS01") -> dict:
    areas = [{"label": f"area {n}", "geometry": mapping(area)} for n, area in enumerate(no_go, 1)]
    return {"code": code, "boundary": mapping(shape), "no_go": areas}


def star(random: np.random.Generator, x: float, y: float, least_m: float, most_m: float) -> shapely.Polygon:
    turns = np.sort(random.uniform(0, 2 * np.pi, 12))
    reach = random.uniform(least_m, most_m, 12)
    return shapely.make_valid(
        shapely.Polygon(np.column_stack([x + reach * np.cos(turns), y + reach * np.sin(turns)]))
    )


def ground(random: np.random.Generator):
    """Two ragged fields, one with a hole in it, in metres."""
    first = shapely.difference(star(random, 0, 0, 80, 400), star(random, *random.uniform(-40, 40, 2), 10, 60))
    both = shapely.union_all([first, star(random, 700, *random.uniform(-200, 200, 1), 50, 200)])
    return shapely.MultiPolygon([p for p in shapely.get_parts(both) if p.geom_type == "Polygon"])


@pytest.mark.parametrize("seed", range(8))
def test_signed_distances_are_the_geodesic_s(phone: Phone, seed: int):
    """Within 0.5 % or 0.05 m, the sign that of shapely, in both hemispheres and far north."""
    random = np.random.default_rng(seed)
    for _ in range(25):
        local = Local(float(random.uniform(-170, 170)), float(random.uniform(-60, 75)))
        flat = ground(random)
        shape = local.to_degrees(flat)
        x, y = random.uniform(-1500, 2000), random.uniform(-1500, 1500)
        lon, lat = (float(v) for v in local.inverse(x, y))
        here = shapely.Point(x, y)
        there = nearest_points(here, flat.boundary)[1]
        there_lon, there_lat = local.inverse(there.x, there.y)
        true_m = GEOD.inv(lon, lat, float(there_lon), float(there_lat))[2]
        said = phone("played", "edge", {"lon": lon, "lat": lat}, mapping(shape))
        assert abs(abs(said["metres"]) - true_m) <= max(0.05, 0.005 * true_m)
        if true_m > 0.05:
            assert (said["metres"] < 0) == flat.contains(here)


def test_a_point_is_seen_in_its_direction_and_at_its_distance(phone: Phone):
    """A lane of two points a centimetre apart, laid out by the geodesic from 1 m to 20 km in every direction."""
    random = np.random.default_rng(1)
    for _ in range(200):
        lon, lat = float(random.uniform(-180, 180)), float(random.uniform(-70, 70))
        azimuth, far_m = float(random.uniform(-180, 180)), float(10 ** random.uniform(0, 4.3))
        if abs((azimuth % 45) - 22.5) < 0.5:
            continue  # on the border of two points of the compass either is right
        ends = [GEOD.fwd(lon, lat, azimuth, metres)[:2] for metres in (far_m, far_m + 0.01)]
        if abs(ends[0][0] - ends[1][0]) > 180:
            continue  # the line itself crosses the 180th meridian
        lane = {"label": "1", "mine": True, "line": {"type": "LineString", "coordinates": ends}}
        said = phone("near", "near", position(lon, lat), {"sites": [site(FIELD)], "lanes": [lane]})
        found = next(line for line in said["lines"] if line["about"] == "lane")
        assert found["metres"] == pytest.approx(far_m, rel=0.001, abs=0.02)
        assert found["direction"] == POINTS[round(azimuth / 45) % 8]


offsets = st.tuples(st.floats(-250, 250), st.floats(-250, 250))


@settings(max_examples=150, deadline=None)
@given(at=offsets, accuracy_m=st.floats(0.5, 60), seed=st.integers(0, 50))
def test_what_the_phone_is_sure_of_the_server_never_judges_otherwise(phone: Phone, at, accuracy_m, seed):
    """Inside or near the edge: stored as inside; outside: stored as outside; uncertain there: told as such here."""
    local = Local(0.15, 53.6)
    shape = local.to_degrees(ground(np.random.default_rng(seed)))
    lon, lat = (float(v) for v in local.inverse(*at))
    said = phone("near", "near", position(lon, lat, accuracy_m), {"sites": [site(shape)]})["state"]
    judged = judge_inside(mapping(shape), lon, lat, accuracy_m).verdict
    if said in ("inside", "near the edge"):
        assert judged is Verdict.INSIDE
    elif said == "outside":
        assert judged is Verdict.OUTSIDE
    else:
        assert said == "may be outside"


@pytest.mark.parametrize(
    ("east_m", "accuracy_m", "state", "level", "edge"),
    [
        (0, 5, "inside", "fine", "edge is 99 m to the"),
        (80, 5, "inside", "fine", "19 m to the east"),
        (86, 5, "near the edge", "near", "13 m to the east"),
        (86, 14, "may be outside", "warn", "good to 14 m"),
        (102, 5, "may be outside", "warn", "3 m to the west"),
        (110, 5, "outside", "stop", "11 m to the west"),
    ],
)
def test_the_warning_allows_for_the_accuracy(phone: Phone, east_m, accuracy_m, state, level, edge):
    local = Local(0.1515, 53.6009)
    lon, lat = (float(v) for v in local.inverse(east_m, 0))
    said = phone("near", "near", position(lon, lat, accuracy_m), {"sites": [site(FIELD)]})
    assert (said["state"], said["level"]) == (state, level)
    assert edge in said["words"]


@pytest.mark.parametrize("accuracy_m", [None, 0, -3])
def test_an_accuracy_that_is_none_counts_as_poor(phone: Phone, accuracy_m):
    """22 m, as the server takes a position without one; a receiver without any error there is not."""
    local = Local(0.1515, 53.6009)
    lon, lat = (float(v) for v in local.inverse(80, 0))
    said = phone("near", "near", position(lon, lat, accuracy_m), {"sites": [site(FIELD)]})
    assert said["state"] == "may be outside"
    assert "good to 22 m" in said["words"]


NO_GO = shapely.box(0.1514, 53.6008, 0.1516, 53.6010)  # 13 by 22 m about the middle of the field


@pytest.mark.parametrize(
    ("east_m", "state", "level", "words"),
    [
        (0, "in it", "stop", "the way out is 7 m to the"),
        (8, "may be in it", "warn", "1 m to the west"),
        (20, "close to it", "near", "13 m to the west"),
        (60, "clear of it", "fine", "53 m to the west"),
    ],
)
def test_no_go_ground_is_told_first_where_it_is_the_graver(phone: Phone, east_m, state, level, words):
    local = Local(0.1515, 53.6009)
    lon, lat = (float(v) for v in local.inverse(east_m, 0))
    said = phone("near", "near", position(lon, lat), {"sites": [site(FIELD, NO_GO)]})
    area = next(line for line in said["lines"] if line["about"] == "no-go")
    assert (area["state"], area["level"], said["level"]) == (state, level, level)
    assert words in area["words"]
    assert said["lines"][0]["about"] == ("boundary" if level == "fine" else "no-go")


def test_a_hole_in_the_boundary_is_outside(phone: Phone):
    ring = shapely.difference(FIELD, NO_GO)
    said = phone("near", "near", position(0.1515, 53.6009, 3), {"sites": [site(ring)]})
    assert (said["state"], round(said["lines"][0]["metres"])) == ("outside", 7)


def test_of_several_sites_the_one_underfoot_counts(phone: Phone):
    other = shapely.box(0.156, 53.600, 0.159, 53.6018)
    pack = {"sites": [site(FIELD), site(other, NO_GO, code="RS02")]}
    said = phone("near", "near", position(0.1575, 53.6009), pack)
    assert said["words"].startswith("Inside RS02")
    assert [line["about"] for line in said["lines"]] == ["boundary", "no-go"]


def lane(label: str, *ends, mine: bool = True, code: str = "RS01") -> dict:
    line = {"type": "LineString", "coordinates": ends}
    return {"site": code, "label": label, "mine": mine, "line": line}


def test_the_nearest_own_lane_and_how_far_off(phone: Phone):
    local = Local(0.1515, 53.6009)

    def along(x):
        return [[float(v) for v in local.inverse(x, y)] for y in (-90, 90)]

    lanes = [lane("3", *along(-6)), lane("4", *along(8)), lane("5", *along(1), mine=False)]
    pack = {"sites": [site(FIELD)], "lanes": lanes, "swath_m": 1.5}
    at = position(0.1515, 53.6009, 2)
    said = phone("near", "near", at, pack)["lines"][-1]
    assert said["words"] == "Your lane 3, RS01: 6 m off it; it lies to the west."
    lon, lat = (float(v) for v in local.inverse(8.5, 20))
    said = phone("near", "near", position(lon, lat, 2), pack)["lines"][-1]
    assert said["words"] == "Your lane 4, RS01: on it, but your position is only good to 2 m."


def test_a_lane_whose_two_points_are_one_is_a_place(phone: Phone):
    pack = {"sites": [site(FIELD)], "lanes": [lane("1", [0.1515, 53.6009], [0.1515, 53.6009])]}
    found = phone("near", "near", position(0.1515, 53.60096), pack)["lines"][-1]
    assert (round(found["metres"], 1), found["direction"]) == (6.7, "south")


def test_a_site_across_the_180th_meridian_is_not_measured(phone: Phone):
    """RFC 7946 section 3.1.9 has such shapes cut; one that is not would be drawn round the whole earth."""
    torn = {
        "type": "Polygon",
        "coordinates": [[[179.9, 1], [-179.9, 1], [-179.9, 1.1], [179.9, 1.1], [179.9, 1]]],
    }
    pack = {"sites": [{"code": "RS01", "boundary": torn, "no_go": []}]}
    said = phone("near", "near", position(179.95, 1.05), pack)
    assert (said["level"], said["state"], said["lines"]) == ("unknown", "unknown", [])


@pytest.mark.parametrize("sites", [[], [{"code": "RS01", "boundary": None}]])
def test_without_a_boundary_nothing_is_claimed(phone: Phone, sites):
    assert phone("near", "near", position(0.15, 53.6), {"sites": sites})["level"] == "unknown"
    assert phone("near", "near", None, {"sites": [site(FIELD)]})["level"] == "unknown"


@pytest.mark.parametrize(
    ("metres", "words"),
    [
        (0, "less than 1 m"),
        (1, "1 m"),
        (12.4, "12 m"),
        (994.9, "995 m"),
        (995, "1.0 km"),
        (12_345, "12.3 km"),
    ],
)
def test_metres_in_words(phone: Phone, metres, words):
    assert phone("near", "inMetres", metres) == words


def test_a_step_in_metres_is_the_geodesic_s(phone: Phone):
    for azimuth in range(0, 360, 30):
        step = [50 * math.sin(math.radians(azimuth)), 50 * math.cos(math.radians(azimuth))]
        there = phone("plane", "stepFrom", {"lon": 0.15, "lat": 53.6}, step)
        lon, lat, _ = GEOD.fwd(0.15, 53.6, azimuth, 50)
        assert GEOD.inv(lon, lat, there["lon"], there["lat"])[2] < 0.005
