"""Cutting and merging: no ground lost, shared edges shared, crumbs said in words."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geo.cut import merge, split
from geo.errors import BoundaryError
from geo.local import Local
from geo.measure import area_m2, to_shape

HOME = Local(0.2, 53.65)


def ground(*blocks):
    """GeoJSON of blocks (outer ring, holes) given in metres round 53.65 N 0.2 E."""
    flat = shapely.MultiPolygon([block if isinstance(block, tuple) else (block, []) for block in blocks])
    return shapely.geometry.mapping(HOME.to_degrees(flat))


def line(*points):
    x, y = np.array(points, dtype=float).T
    return {"type": "LineString", "coordinates": np.column_stack(HOME.inverse(x, y)).tolist()}


def box(west, south, east, north):
    return [(west, south), (east, south), (east, north), (west, north), (west, south)]


FIELD = ground(box(0, 0, 300, 200))


def test_a_field_is_cut_into_two_that_share_the_cut():
    cut = split(FIELD, line((100, -10), (100, 210)))
    assert [part.area_m2 for part in cut.parts] == pytest.approx([40_000, 20_000], rel=1e-4)
    assert cut.notes == ()
    one, two = (to_shape(part.geometry) for part in cut.parts)
    assert shapely.intersection(one, two).area < 1e-16
    assert shapely.touches(one, two)


def test_the_old_corners_stay_where_they_are():
    cut = split(FIELD, line((100, -10), (120, 80), (100, 210)))
    old = {tuple(np.round(p, 7)) for p in FIELD["coordinates"][0][0]}
    kept = {tuple(p) for part in cut.parts for p in shapely.get_coordinates(to_shape(part.geometry))}
    assert old <= kept


def test_a_line_that_goes_in_and_out_makes_several_parts():
    zigzag = line((50, -10), (50, 210), (150, 210), (150, -10), (250, -10), (250, 210))
    assert len(split(FIELD, zigzag).parts) == 4


def test_a_block_that_the_line_misses_is_a_part_by_itself():
    two = ground(box(0, 0, 100, 100), box(200, 0, 260, 100))
    cut = split(two, line((40, -10), (40, 110)))
    assert [part.area_m2 for part in cut.parts] == pytest.approx([6000, 6000, 4000], abs=5)


def test_a_hole_stays_out_of_both_halves():
    holed = ground((box(0, 0, 300, 200), [box(90, 90, 110, 110)]))
    cut = split(holed, line((100, -10), (100, 210)))
    assert sum(part.area_m2 for part in cut.parts) == pytest.approx(area_m2(holed), abs=2)
    assert len(cut.parts) == 2


def test_a_line_that_stops_just_short_is_carried_on():
    cut = split(FIELD, line((100, 2), (100, 197)))
    assert len(cut.parts) == 2
    assert cut.notes == ("The line stopped just short of the edge and was carried on to it.",)


def test_two_slivers_are_dropped_and_said():
    zigzag = line((0.4, -10), (0.4, 210), (299.6, 210), (299.6, -10), (150, -10), (150, 210))
    cut = split(FIELD, zigzag)
    assert len(cut.parts) == 2
    assert cut.notes == ("Two slivers dropped, 0.02 ha.",)


@pytest.mark.parametrize(
    ("cutting", "match"),
    [
        (line((100, -10), (100, 100)), "does not cut the ground in two; draw it right across"),
        (line((500, -10), (500, 210)), "does not meet the boundary"),
        (line((0.3, -10), (0.3, 210)), "no more than a sliver"),
        (line((5, 5), (5, 5)), "no line to cut along"),
        ({"type": "Point", "coordinates": [0.2, 53.65]}, "A Point is no line"),
        ({"type": "LineString", "coordinates": [[545900, 425900], [545900, 426900]]}, "not in degrees"),
        ({"type": "Nonsense"}, "not GeoJSON"),
    ],
)
def test_a_line_that_cannot_cut_is_refused(cutting, match):
    with pytest.raises(BoundaryError, match=match) as caught:
        split(FIELD, cutting)
    assert caught.value.remedy


@settings(max_examples=60, deadline=None)
@given(west=st.floats(5, 295), east=st.floats(5, 295), bend=st.floats(5, 295), middle=st.floats(20, 180))
def test_no_ground_is_lost_in_a_cut_and_merging_gives_it_back(west, east, bend, middle):
    cut = split(FIELD, line((west, -10), (bend, middle), (east, 210)))
    assert sum(part.area_m2 for part in cut.parts) == pytest.approx(
        area_m2(FIELD), abs=6
    )  # 7 decimals round by 5 mm
    whole = merge([part.geometry for part in cut.parts])
    assert whole.area_m2 == pytest.approx(area_m2(FIELD), abs=6)
    assert len(whole.geometry["coordinates"]) == 1


def test_neighbours_become_one_block():
    merged = merge([ground(box(0, 0, 100, 100)), ground(box(100, 0, 200, 100))])
    assert merged.area_m2 == pytest.approx(20_000, rel=1e-4)
    assert len(merged.geometry["coordinates"]) == 1
    assert merged.notes == ()


def test_an_overlap_is_counted_once_and_said():
    merged = merge([ground(box(0, 0, 100, 100)), ground(box(70, 0, 170, 100))])
    assert merged.area_m2 == pytest.approx(17_000, rel=1e-4)
    assert merged.notes == ("The boundaries overlap by 0.30 ha, counted once.",)


def test_blocks_apart_stay_apart_and_are_said():
    merged = merge([ground(box(0, 0, 100, 100)), ground(box(150, 0, 250, 100))])
    assert merged.notes == ("The ground is in two blocks that do not touch.",)


def test_a_sliver_between_neighbours_is_filled_and_a_drawn_hole_stays():
    drawn = box(20, 20, 20.8, 80)
    west = (
        [(0, 0), (100, 0), (100, 40), (99.3, 40), (99.3, 60), (100, 60), (100, 100), (0, 100), (0, 0)],
        [drawn],
    )
    merged = merge([ground(west), ground(box(100, 0, 200, 100))])
    assert "One sliver between them filled, 14.0 m²." in merged.notes
    rings = merged.geometry["coordinates"][0]
    assert len(rings) == 2
    assert area_m2(shapely.Polygon(rings[1])) == pytest.approx(48, abs=1)


@pytest.mark.parametrize("count", [0, 1])
def test_merging_needs_two(count):
    with pytest.raises(BoundaryError, match="at least two"):
        merge([FIELD] * count)
