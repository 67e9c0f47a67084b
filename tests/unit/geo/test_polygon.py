"""Boundaries: what is mended and said, what is refused, and what comes back."""

import json
import math

import numpy as np
import pytest
import shapely

from geo.areas import Country
from geo.errors import BoundaryError, PositionError
from geo.local import Local
from geo.measure import area_m2, to_shape
from geo.polygon import boundary_from_references, check_boundary

HOME = Local(0.2, 53.65)


def on_ground(*rings_m) -> dict:
    """GeoJSON of rings given in metres round 53.65 N 0.2 E, closed here."""
    rings = []
    for ring in rings_m:
        x, y = np.array([*ring, ring[0]], dtype=float).T
        rings.append(np.column_stack(HOME.inverse(x, y)).tolist())
    return {"type": "Polygon", "coordinates": rings}


def square(x, y, side):
    return [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]


FIELD = on_ground(square(0, 0, 300))
BOWTIE = on_ground([(0, 0), (100, 100), (100, 0), (0, 100)])


def test_a_plain_field_comes_back_unchanged():
    checked = check_boundary(FIELD)
    assert checked.area_m2 == pytest.approx(90_000, rel=1e-4)
    assert checked.perimeter_m == pytest.approx(1200, rel=1e-4)
    assert checked.notes == ()
    assert not checked.repaired
    assert checked.geometry["type"] == "MultiPolygon"
    west, south, east, north = checked.bounds
    assert west < east
    assert south < north


@pytest.mark.parametrize(
    "wrap",
    [
        json.dumps,
        lambda g: json.dumps(g).encode(),
        lambda g: {"type": "Feature", "geometry": g, "properties": None},
        lambda g: {
            "type": "FeatureCollection",
            "features": [{"type": "Feature", "geometry": g, "properties": {}}],
        },
        lambda g: {"type": "GeometryCollection", "geometries": [g]},
        lambda g: {"type": "MultiPolygon", "coordinates": [g["coordinates"]]},
    ],
)
def test_every_wrapping_of_a_polygon_is_taken(wrap):
    assert check_boundary(wrap(FIELD)) == check_boundary(FIELD)


def test_checking_twice_changes_nothing():
    once = check_boundary(BOWTIE)
    twice = check_boundary(once.geometry)
    assert twice.geometry == once.geometry
    assert not twice.repaired


def test_two_blocks_stay_two():
    two = {
        "type": "MultiPolygon",
        "coordinates": [on_ground(square(x, 0, 50))["coordinates"] for x in (0, 100)],
    }
    checked = check_boundary(two)
    assert len(checked.geometry["coordinates"]) == 2
    assert checked.area_m2 == pytest.approx(5000, rel=1e-3)


def test_blocks_that_overlap_become_one_and_are_counted_once():
    two = {
        "type": "MultiPolygon",
        "coordinates": [on_ground(square(x, 0, 50))["coordinates"] for x in (0, 25)],
    }
    checked = check_boundary(two)
    assert len(checked.geometry["coordinates"]) == 1
    assert checked.area_m2 == pytest.approx(75 * 50, rel=1e-3)
    assert checked.repaired
    assert any("changed the area" in note for note in checked.notes)


# The cases of make_valid, in metres: what the structure method must leave (measured against GEOS 3.14; the
# rule is that holes stay holes and loops drawn over each other are land).
STRUCTURE_CASES = [
    ("bow-tie", [[(0, 0), (10, 10), (10, 0), (0, 10)]], 50),
    ("spike", [[(0, 0), (10, 0), (10, 10), (5, 10), (5, 20), (5, 10), (0, 10)]], 100),
    ("hole crossing the edge", [square(0, 0, 10), [(9, 2), (11, 2), (11, 7), (9, 7)]], 95),
    ("hole in a hole", [square(0, 0, 10), square(1, 1, 8), square(3, 3, 2)], 36),
]


@pytest.mark.parametrize(
    ("name", "rings", "expected_m2"), STRUCTURE_CASES, ids=[c[0] for c in STRUCTURE_CASES]
)
def test_broken_outlines_are_mended_to_the_ground_they_mean(name, rings, expected_m2):
    tenfold = [[(10 * x, 10 * y) for x, y in ring] for ring in rings]
    checked = check_boundary(on_ground(*tenfold))
    assert checked.area_m2 == pytest.approx(100 * expected_m2, rel=2e-3)
    assert checked.repaired
    assert checked.notes[0].startswith("The line crossed or touched itself")
    assert to_shape(checked.geometry).is_valid


def test_a_hole_beside_the_field_is_left_out_and_does_not_become_land():
    checked = check_boundary(on_ground(square(0, 0, 100), square(200, 0, 50)))
    assert checked.area_m2 == pytest.approx(10_000, rel=1e-3)
    assert checked.notes == ("A hole that lies outside the field was left out.",)
    assert checked.repaired


def test_a_star_drawn_in_one_line_is_all_land():
    """A pentagram of radius 100 m: union 112.257 x 10 m2 (5 sin 36 cos 72 ... by hand), not the even-odd
    77.25.
    """
    points = [(100 * math.sin(0.8 * math.pi * i), 100 * math.cos(0.8 * math.pi * i)) for i in range(5)]
    ring = shapely.LinearRing(points)
    union = shapely.unary_union(list(shapely.polygonize([shapely.node(ring)]).geoms)).area
    assert check_boundary(on_ground(points)).area_m2 == pytest.approx(union, rel=1e-3)


def test_a_bow_tie_drawn_by_hand_is_asked_about():
    with pytest.raises(BoundaryError, match=r"crosses itself at 53\.65\d+, 0\.20\d+") as caught:
        check_boundary(BOWTIE, drawn=True)
    assert "two separate blocks" in caught.value.remedy


def test_a_hand_drawn_field_that_is_sound_passes():
    assert check_boundary(FIELD, drawn=True).area_m2 == check_boundary(FIELD).area_m2


def test_a_walked_outline_keeps_its_ground_and_drops_its_crumbs():
    """1,200 points round 10 ha with 1 m of white noise crosses itself all the way round."""
    rng = np.random.default_rng(3)
    side = 316.227766
    t = np.linspace(0, 4, 1200, endpoint=False)
    corner = np.array([(0, 0), (side, 0), (side, side), (0, side), (0, 0)])
    walked = np.column_stack([np.interp(t, range(5), corner[:, i]) for i in (0, 1)]) + rng.normal(
        size=(1200, 2)
    )
    checked = check_boundary(on_ground(walked.tolist()))
    assert len(checked.geometry["coordinates"]) == 1
    assert checked.area_m2 == pytest.approx(100_000, rel=0.01)
    assert any("too small to be ground" in note for note in checked.notes)
    assert any("Thinned" in note for note in checked.notes)
    assert to_shape(checked.geometry).is_valid


def test_a_sliver_of_a_part_is_dropped_and_said():
    two = {
        "type": "MultiPolygon",
        "coordinates": [
            on_ground(square(0, 0, 300))["coordinates"],
            on_ground(square(400, 0, 1.5))["coordinates"],
        ],
    }
    checked = check_boundary(two)
    assert len(checked.geometry["coordinates"]) == 1
    assert checked.notes == ("One part of 2.3 m² in all, too small to be ground, left out.",)
    assert checked.repaired


def test_a_dense_outline_is_thinned_by_no_more_than_a_quarter_metre():
    angle = np.linspace(0, 2 * np.pi, 4_000, endpoint=False)
    dense = on_ground(np.column_stack([200 * np.cos(angle), 200 * np.sin(angle)]).tolist())
    checked = check_boundary(dense)
    count = sum(len(r) for p in checked.geometry["coordinates"] for r in p)
    assert count < 200
    before, after = (HOME.to_metres(to_shape(g)) for g in (dense, checked.geometry))
    assert shapely.hausdorff_distance(before.exterior, after.boundary) < 0.3


def test_an_open_ring_is_closed_and_said():
    ring = FIELD["coordinates"][0][:-1]
    checked = check_boundary({"type": "Polygon", "coordinates": [ring]})
    assert checked.area_m2 == check_boundary(FIELD).area_m2
    assert "An open ring was closed." in checked.notes


def ring(*positions) -> dict:
    return {"type": "Polygon", "coordinates": [[list(p) for p in positions]]}


NAN = float("nan")
REFUSED = [
    ("not json", "{nope", "is not JSON"),
    ("a list", "[1, 2]", "not an object"),
    ("nothing", {}, "encloses no ground"),
    ("no geometry", {"type": "Feature", "geometry": None}, "holds no geometry"),
    ("a line", {"type": "LineString", "coordinates": [[0, 53], [1, 53]]}, "close the line"),
    ("a point", {"type": "Point", "coordinates": [0, 53]}, "encloses no ground"),
    ("empty collection", {"type": "FeatureCollection", "features": []}, "no polygon"),
    ("no list", {"type": "Polygon", "coordinates": "here"}, "no list of parts"),
    ("words", ring(("a", "b"), (0, 53), (1, 53)), "is not a position"),
    ("not finite", ring((NAN, 53), (0, 53), (1, 53)), "is not a position"),
    ("truth", ring((True, 53), (0, 53), (1, 53)), "is not a position"),
    ("two points", ring((0, 53), (1, 53), (0, 53)), "only 2 different points"),
    ("no points", ring(), "only 0 different points"),
    ("one line", ring((0, 53), (0.01, 53), (0.02, 53), (0, 53)), "encloses no ground"),
    ("metres", ring((545506, 419305), (545606, 419305), (545506, 419405)), "looks like metres"),
    ("swapped", ring((53, 100), (53, 101), (54, 101)), "latitude before longitude"),
    ("pole", ring((0, 86), (1, 86), (1, 87)), "too near a pole"),
    ("tiny", on_ground(square(0, 0, 1)), "encloses no ground"),
]


@pytest.mark.parametrize(("name", "given", "says"), REFUSED, ids=[c[0] for c in REFUSED])
def test_what_cannot_be_a_boundary_is_refused_with_a_remedy(name, given, says):
    with pytest.raises(BoundaryError) as caught:
        check_boundary(given)
    assert says in str(caught.value)
    assert caught.value.remedy


def test_latitude_first_is_noticed_where_the_country_is_known():
    swapped = {"type": "Polygon", "coordinates": [[[lat, lon] for lon, lat in FIELD["coordinates"][0]]]}
    assert check_boundary(swapped).area_m2 > 0
    with pytest.raises(BoundaryError, match="longitude first"):
        check_boundary(swapped, country=Country.GB)


class Untouched(list):
    """A position that nobody may look at."""

    def __getitem__(self, place):
        raise AssertionError("a point was read")

    __iter__ = __len__ = __getitem__


@pytest.mark.parametrize("count", [50_001, 250_000])
def test_too_many_points_are_refused_before_any_work(count):
    ring = [Untouched()] * count
    with pytest.raises(BoundaryError, match="more than 50,000 points"):
        check_boundary({"type": "Polygon", "coordinates": [ring]})


def test_points_that_cannot_be_thinned_to_ten_thousand_are_refused():
    angle = np.linspace(0, 2 * np.pi, 12_000, endpoint=False)
    radius = 3000 + 400 * (np.arange(12_000) % 2)
    gear = on_ground(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]).tolist())
    with pytest.raises(BoundaryError, match="points after thinning"):
        check_boundary(gear)


def test_a_very_long_text_is_refused_unread():
    with pytest.raises(BoundaryError, match="MB of text"):
        check_boundary("[" * 9_000_000)


def test_deep_nesting_is_refused_not_followed():
    with pytest.raises(BoundaryError, match="is not JSON"):
        check_boundary("[" * 200_000)
    nested = FIELD
    for _ in range(30):
        nested = {"type": "GeometryCollection", "geometries": [nested]}
    with pytest.raises(BoundaryError):
        check_boundary(nested)


def test_a_site_five_kilometres_across_and_a_narrow_strip_get_a_word():
    assert any("5 km" in n for n in check_boundary(on_ground(square(0, 0, 6000))).notes)
    strip = check_boundary(on_ground([(0, 0), (500, 0), (500, 2), (0, 2)]))
    assert any("very narrow" in n for n in strip.notes)


def test_a_boundary_typed_as_grid_references():
    text = "TA 4550 1930\nTA 4570 1930\n\n# by the beck\nTA 4570 1950\nTA 4550 1950"
    checked = boundary_from_references(text, Country.GB)
    assert checked.area_m2 == pytest.approx(40_000, rel=5e-4)
    assert checked.notes == ()


def test_rough_corners_say_that_the_area_is_rough():
    checked = boundary_from_references("TA 455 193\nTA 459 193\nTA 459 197", Country.GB)
    assert any("100 m only" in note for note in checked.notes)


def test_a_boundary_typed_as_degrees():
    checked = boundary_from_references("53.65000, 0.20000\n53.65000, 0.20500\n53.65300, 0.20500", Country.GB)
    assert len(checked.geometry["coordinates"][0][0]) == 4


def test_typed_corners_that_fail_name_their_line_or_their_number():
    with pytest.raises(PositionError, match="Line 2"):
        boundary_from_references("TA 4550 1930\nTA 45 1\nTA 4570 1950", Country.GB)
    with pytest.raises(BoundaryError, match="2 corners were given"):
        boundary_from_references("TA 4550 1930\nTA 4570 1930", Country.GB)
    with pytest.raises(BoundaryError, match="crosses itself"):
        boundary_from_references("TA 4550 1930\nTA 4570 1950\nTA 4570 1930\nTA 4550 1950", Country.GB)


def test_area_accepts_what_was_stored():
    checked = check_boundary(FIELD)
    assert area_m2(checked.geometry) == area_m2(json.dumps(checked.geometry)) == checked.area_m2
