"""The examples printed in RFC 7946 (The GeoJSON Format, August 2016) and its rules on rings, order and
systems.
"""

import json

import pytest
import shapely

from geo.errors import BoundaryError
from geo.polygon import area_m2, check_boundary

A3_NO_HOLES = {
    "type": "Polygon",
    "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]],
}
HOLE = [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]
A3_HOLES = {"type": "Polygon", "coordinates": [*A3_NO_HOLES["coordinates"], HOLE]}
A6_MULTIPOLYGON = {
    "type": "MultiPolygon",
    "coordinates": [
        [[[102.0, 2.0], [103.0, 2.0], [103.0, 3.0], [102.0, 3.0], [102.0, 2.0]]],
        [
            [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]],
            [[100.2, 0.2], [100.2, 0.8], [100.8, 0.8], [100.8, 0.2], [100.2, 0.2]],
        ],
    ],
}
A7_COLLECTION = {
    "type": "GeometryCollection",
    "geometries": [
        {"type": "Point", "coordinates": [100.0, 0.0]},
        {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]},
    ],
}
SECTION_1_5 = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
            "properties": {"prop0": "value0"},
        },
        {
            "type": "Feature",
            "geometry": {
                "type": "LineString",
                "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]],
            },
            "properties": {"prop0": "value0", "prop1": 0.0},
        },
        {
            "type": "Feature",
            "geometry": A3_NO_HOLES,
            "properties": {"prop0": "value0", "prop1": {"this": "that"}},
        },
    ],
}
SECTION_3_1_9 = {
    "type": "MultiPolygon",
    "coordinates": [
        [[[180.0, 40.0], [180.0, 50.0], [170.0, 50.0], [170.0, 40.0], [180.0, 40.0]]],
        [[[-170.0, 40.0], [-170.0, 50.0], [-180.0, 50.0], [-180.0, 40.0], [-170.0, 40.0]]],
    ],
}


def outer(ring: list[list[float]]) -> bool:
    return shapely.LinearRing(ring).is_ccw


def test_appendix_a3_polygon_without_holes():
    checked = check_boundary(A3_NO_HOLES)
    assert checked.geometry["coordinates"][0] == A3_NO_HOLES["coordinates"]
    assert checked.bounds == (100.0, 0.0, 101.0, 1.0)


def test_appendix_a3_polygon_with_a_hole():
    checked = check_boundary(A3_HOLES)
    whole = area_m2(A3_NO_HOLES)
    hole = area_m2({"type": "Polygon", "coordinates": [HOLE]})
    assert checked.area_m2 == pytest.approx(whole - hole, rel=1e-12)
    assert not checked.repaired


def test_appendix_a6_multipolygon_comes_back_with_its_rings_turned_right():
    """Section 3.1.6: outer rings counter-clockwise, holes clockwise. The printed hole of A.6 runs the other
    way.
    """
    polygons = check_boundary(A6_MULTIPOLYGON).geometry["coordinates"]
    assert len(polygons) == 2
    assert all(outer(rings[0]) for rings in polygons)
    assert not any(outer(hole) for rings in polygons for hole in rings[1:])


def test_clockwise_rings_are_taken_not_refused():
    """Section 3.1.6: parsers SHOULD NOT reject polygons that do not follow the right-hand rule."""
    backwards = {"type": "Polygon", "coordinates": [A3_NO_HOLES["coordinates"][0][::-1]]}
    assert check_boundary(backwards).area_m2 == check_boundary(A3_NO_HOLES).area_m2
    assert outer(check_boundary(backwards).geometry["coordinates"][0][0])


def test_section_1_5_collection_gives_its_polygon_and_says_what_was_left():
    checked = check_boundary(json.dumps(SECTION_1_5))
    assert checked.area_m2 == check_boundary(A3_NO_HOLES).area_m2
    assert "Points and lines in the file were left out." in checked.notes


def test_appendix_a7_collection_encloses_nothing():
    with pytest.raises(BoundaryError, match="no polygon"):
        check_boundary(A7_COLLECTION)


def test_section_3_1_9_boundary_over_the_antimeridian_is_refused():
    with pytest.raises(BoundaryError, match="180th meridian"):
        check_boundary(SECTION_3_1_9)


def test_section_4_other_reference_systems_are_refused():
    """The crs member of the 2008 draft was removed; only longitude and latitude on WGS84 remain."""
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::27700"}}
    with pytest.raises(BoundaryError, match="27700"):
        check_boundary({**A3_NO_HOLES, "crs": crs})
    named = {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}
    kept = check_boundary({**A3_NO_HOLES, "crs": named})
    assert "crs" not in kept.geometry


def test_section_3_1_1_altitude_is_taken_off():
    raised = {"type": "Polygon", "coordinates": [[[*p, 12.5] for p in A3_NO_HOLES["coordinates"][0]]]}
    checked = check_boundary(raised)
    assert checked.geometry == check_boundary(A3_NO_HOLES).geometry
    assert "Heights were left out." in checked.notes


def test_section_11_2_seven_decimals_are_written_one_more_than_advised():
    wordy = [[0.123456789, 53.0], [0.13, 53.0], [0.13, 53.0123456789], [0.123456789, 53.0]]
    ring = check_boundary({"type": "Polygon", "coordinates": [wordy]}).geometry["coordinates"][0][0]
    assert [0.1234568, 53.0] in ring
    assert [0.13, 53.0123457] in ring
