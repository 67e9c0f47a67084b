"""Buffers, overlaps and searchable ground in metres."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.errors import BoundaryError
from geo.local import Local
from geo.measure import area_m2, buffered, difference, overlap, overlap_m2, to_shape

HOME = Local(0.2, 53.65)


def box(x, y, width, height):
    return HOME.to_degrees(shapely.box(x, y, x + width, y + height))


def at(x, y):
    lon, lat = HOME.inverse(x, y)
    return {"type": "Point", "coordinates": [float(lon), float(lat)]}


FIELD = box(0, 0, 200, 100)


def test_a_point_widened_is_a_disc_and_never_less():
    """No place nearer than 20 m to a hazard may fall outside its 20 m buffer."""
    disc = buffered(at(0, 0), 20)
    assert math.pi * 400 <= area_m2(disc) < math.pi * 400 * 1.003
    angle = np.linspace(0, 2 * np.pi, 1000)
    lon, lat = HOME.inverse(19.98 * np.cos(angle), 19.98 * np.sin(angle))
    assert shapely.contains_xy(to_shape(disc), lon, lat).all()


def test_a_line_widened_is_a_strip_with_round_ends():
    line = HOME.to_degrees(shapely.LineString([(0, 0), (100, 0)]))
    assert area_m2(buffered(line, 6)) == pytest.approx(100 * 12 + math.pi * 36, rel=0.003)


def test_a_field_shrunk_too_far_is_nothing():
    assert buffered(FIELD, -60) == {"type": "MultiPolygon", "coordinates": []}
    assert area_m2(buffered(FIELD, -10)) == pytest.approx(180 * 80, rel=1e-4)


def test_shared_ground_of_two_fields():
    assert overlap_m2(FIELD, box(150, 50, 200, 200)) == pytest.approx(50 * 50, rel=1e-5)
    assert overlap_m2(FIELD, box(300, 0, 10, 10)) == 0
    assert overlap_m2(FIELD, box(200, 0, 50, 100)) == 0  # neighbours share an edge and no ground


def test_a_sliver_between_neighbours_does_not_count_but_an_overlap_does():
    sliver = overlap(FIELD, box(198, 0, 200, 100), accuracy_m=3.0)
    assert sliver.area_m2 == pytest.approx(200, rel=1e-4)
    assert not sliver.counts
    assert overlap(FIELD, box(150, 0, 200, 100), accuracy_m=3.0).counts
    assert not overlap(FIELD, box(400, 0, 10, 10)).counts


def test_no_go_ground_is_taken_out_with_its_buffer():
    left = difference(FIELD, [(box(20, 20, 20, 20), 0), (at(150, 50), 20)])
    assert left.area_m2 == pytest.approx(20_000 - 400 - math.pi * 400, rel=1e-3)
    assert left.area_m2 + left.removed_m2 == pytest.approx(area_m2(FIELD), rel=1e-12)
    assert to_shape(left.geometry).is_valid


def test_overlapping_no_go_ground_is_taken_once():
    left = difference(FIELD, [(box(0, 0, 100, 100), 0), (box(50, 0, 100, 100), 0)])
    assert left.area_m2 == pytest.approx(50 * 100, rel=1e-4)


def test_a_wire_across_the_field_splits_it():
    wire = HOME.to_degrees(shapely.LineString([(100, -50), (100, 150)]))
    left = difference(FIELD, [(wire, 10)])
    assert len(left.geometry["coordinates"]) == 2
    assert left.area_m2 == pytest.approx(180 * 100, rel=2e-4)


def test_no_go_ground_over_everything_leaves_nothing():
    left = difference(FIELD, [(FIELD, 5)])
    assert left.geometry == {"type": "MultiPolygon", "coordinates": []}
    assert (left.area_m2, left.removed_m2) == (0, pytest.approx(20_000, rel=1e-5))


def test_no_no_go_ground_leaves_the_whole_site_exactly():
    left = difference(FIELD, [])
    assert left.area_m2 == area_m2(FIELD)
    assert left.removed_m2 == 0


@pytest.mark.parametrize("broken", ["{", "{}", {"type": "Blob"}, {"type": "Feature"}, None, "[]"])
def test_a_stored_shape_that_is_not_geojson_is_named(broken):
    with pytest.raises(BoundaryError, match="not GeoJSON"):
        to_shape(broken)


def test_features_and_collections_are_shapes_too():
    feature = {"type": "Feature", "geometry": shapely.geometry.mapping(FIELD)}
    assert to_shape(feature).equals(FIELD)
    assert to_shape({"type": "FeatureCollection", "features": [feature, feature]}).equals(FIELD)


@settings(max_examples=30, deadline=None)
@given(
    lon=st.floats(-179, 179),
    lat=st.floats(-80, 80),
    x=st.floats(-5000, 5000),
    y=st.floats(-5000, 5000),
)
def test_the_local_grid_turns_back_to_the_same_place(lon, lat, x, y):
    local = Local(lon, lat)
    back = local.forward(*local.inverse(x, y))
    assert np.allclose(back, (x, y), atol=1e-6)


def test_the_local_grid_s_origin_is_kept_short():
    assert Local.around(FIELD) == Local(
        round(Local.around(FIELD).lon0, 5), round(Local.around(FIELD).lat0, 5)
    )
