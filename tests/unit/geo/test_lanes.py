"""Lanes through fields with holes, slivers and estates; who walks which."""

import math
import time

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from geo.ground import GroundError, drawn
from geo.lanes import LaneError, lane_routes, plan_lanes, share_lanes, walk_route
from geo.local import Local

LOCAL = Local(0.25, 53.7)  # invented ground at sea, square TA


def ground(shape):
    """The metre shape as lon/lat on invented ground."""
    return LOCAL.to_degrees(shape)


def rectangle(width_m, height_m, turn_deg=0.0):
    return affinity.rotate(shapely.box(0, 0, width_m, height_m), -turn_deg, origin=(0, 0))


def regular(sides, side_m):
    radius = side_m / (2 * math.sin(math.pi / sides))
    turns = np.arange(sides) * 2 * math.pi / sides
    return shapely.Polygon(np.column_stack([radius * np.cos(turns), radius * np.sin(turns)]))


L_SHAPE = shapely.Polygon([(0, 0), (300, 0), (300, 120), (130, 120), (130, 400), (0, 400)])
HOLED = L_SHAPE.difference(shapely.box(40, 40, 80, 90)).difference(shapely.Point(60, 250).buffer(15))


@pytest.mark.parametrize(
    ("shape", "width_m"),
    [
        (rectangle(400, 250), 250),
        (rectangle(400, 250, 30), 250),
        (rectangle(400, 250, 171.3), 250),
        (regular(3, 100), 86.60254),
        (regular(6, 100), 173.20508),
        (shapely.Polygon([(0, 0), (300, 0), (0, 400)]), 240),
    ],
    ids=["rectangle", "rectangle 30", "rectangle 171", "triangle", "hexagon", "3-4-5"],
)
def test_best_heading_crosses_the_smallest_width(shape, width_m):
    """Minimum widths: 250 of 400 x 250; 0.8660254 and 1.7320508 of unit triangle and hexagon; 2.4 of 3-4-5.

    Source: elementary geometry; the least width of a convex polygon lies along an edge (Houle and Toussaint
    1988).
    """
    plan = plan_lanes(ground(shape), spacing_m=1.6)
    fewest = math.ceil(width_m / 1.6)
    assert fewest - 1 <= len(plan.lanes) <= fewest  # a lane under 1 m in a corner is left out
    assert plan.total_m * 1.6 == pytest.approx(
        shape.area, abs=1.6 * max(lane.length_m for lane in plan.lanes)
    )


@pytest.mark.parametrize("turn_deg", [0, 30, 90, 171.3])
def test_heading_follows_the_long_side(turn_deg):
    plan = plan_lanes(ground(rectangle(400, 250, turn_deg)), spacing_m=2)
    assert (plan.heading_deg - (90 + turn_deg) + 90) % 180 - 90 == pytest.approx(0, abs=0.01)


def test_lanes_stay_inside_and_lie_one_spacing_apart():
    plan = plan_lanes(ground(HOLED), spacing_m=2)
    lines = [LOCAL.to_metres(shapely.LineString(lane.coordinates)) for lane in plan.lanes]
    inside = HOLED.buffer(0.01)
    assert all(inside.covers(line) for line in lines)
    assert sum(line.length for line in lines) == pytest.approx(plan.total_m, rel=1e-6)
    assert plan.total_m * 2 == pytest.approx(HOLED.area, rel=2e-3)
    swept = shapely.union_all([line.buffer(1) for line in lines]).intersection(HOLED)
    assert swept.area / HOLED.area > 0.99


def test_alternate_lanes_run_back_and_parts_follow_the_walk():
    field = rectangle(100, 20).difference(shapely.box(40, 5, 60, 15))
    plan = plan_lanes(ground(field), spacing_m=2, heading_deg=90)
    assert [lane.label for lane in plan.lanes][:5] == ["1", "2", "3a", "3b", "4a"]
    assert [lane.heading_deg for lane in plan.lanes[:5]] == [90, 270, 90, 90, 270]
    third, fourth = plan.lanes[2].coordinates, plan.lanes[4].coordinates
    assert third[0][0] < third[1][0]
    assert fourth[0][0] > fourth[1][0]


def test_no_go_ground_is_left_out():
    shut = shapely.box(100, 0, 150, 250)
    plan = plan_lanes(ground(rectangle(400, 250)), spacing_m=2, no_go=[ground(shut)])
    lines = [LOCAL.to_metres(shapely.LineString(lane.coordinates)) for lane in plan.lanes]
    assert not any(line.intersects(shut.buffer(-0.01)) for line in lines)
    assert plan.total_m * 2 == pytest.approx(350 * 250, rel=1e-3)
    with pytest.raises(GroundError, match="No ground is left to search"):
        plan_lanes(ground(rectangle(400, 250)), spacing_m=2, no_go=[ground(rectangle(500, 500))])


def test_asked_heading_is_kept():
    plan = plan_lanes(ground(rectangle(400, 250)), spacing_m=2, heading_deg=225)
    assert plan.heading_deg == 45
    assert {round(lane.heading_deg) for lane in plan.lanes} == {45, 225}


def test_one_metre_sliver_gets_one_lane_and_is_told():
    plan = plan_lanes(ground(rectangle(120, 1, 20)), spacing_m=1.6)
    assert len(plan.lanes) == 1
    assert plan.total_m == pytest.approx(120, abs=1)
    assert "one lane down the middle" in plan.notes[0]


def test_a_scrap_too_small_for_a_lane_is_refused():
    with pytest.raises(LaneError, match=r"No lane of 1 m fits this ground of 0\.2 m²"):
        plan_lanes(ground(rectangle(0.5, 0.5)), spacing_m=1.6)


def test_a_five_hundred_hectare_estate_is_planned_with_a_warning():
    began = time.process_time()  # a busy machine's waiting is not counted
    plan = plan_lanes(ground(regular(23, 344)), spacing_m=10)
    assert time.process_time() - began < 20
    assert "500 km long: plan one field at a time" in plan.notes[0] or "km long" in plan.notes[0]
    with pytest.raises(LaneError, match=r"lanes of 0\.4 m would cross this ground of \d+ ha; give at least"):
        plan_lanes(ground(regular(23, 344)), spacing_m=0.4)


@pytest.mark.parametrize("spacing_m", [0, -2, math.nan, math.inf, 500])
def test_impossible_spacing_is_named(spacing_m):
    with pytest.raises(LaneError, match=f"A lane spacing of {spacing_m:g} m; give 0.3 to 200 m"):
        plan_lanes(ground(L_SHAPE), spacing_m=spacing_m)


def test_what_is_no_ground_is_named():
    with pytest.raises(GroundError, match="drawn as a LineString"):
        plan_lanes(shapely.LineString([(0.2, 53.7), (0.3, 53.7)]), spacing_m=2)
    with pytest.raises(GroundError, match="an empty Polygon"):
        drawn(shapely.Polygon())
    with pytest.raises(LaneError, match="A heading of nan"):
        plan_lanes(ground(L_SHAPE), spacing_m=2, heading_deg=math.nan)


def test_two_fields_in_one_site():
    both = shapely.MultiPolygon([shapely.box(0, 0, 100, 50), shapely.box(150, 0, 250, 50)])
    plan = plan_lanes(ground(both), spacing_m=2)
    assert plan.total_m == pytest.approx(5000, rel=1e-3)
    assert plan.lanes[0].part == "a"


@settings(max_examples=60, deadline=None)
@given(
    angles=st.lists(st.floats(0, 6.28), min_size=4, max_size=12, unique=True),
    radii=st.lists(st.floats(30, 150), min_size=12, max_size=12),
    spacing_m=st.floats(0.8, 6),
)
def test_any_star_shaped_field_is_filled(angles, radii, spacing_m):
    angles = sorted(angles)
    points = [(r * math.cos(a), r * math.sin(a)) for a, r in zip(angles, radii, strict=False)]
    field = shapely.Polygon(points)
    if not field.is_valid or field.buffer(-8).area < 500:
        return
    plan = plan_lanes(ground(field), spacing_m=spacing_m)
    # A lane may begin or end half a spacing off the edge, so along the whole edge no more than this is off.
    assert plan.total_m * spacing_m == pytest.approx(field.area, abs=field.length * spacing_m / 2)
    assert all(lane.length_m >= 1 for lane in plan.lanes)


def test_shares_are_neighbours_even_and_complete():
    plan = plan_lanes(ground(HOLED), spacing_m=2)
    shares = share_lanes(plan, [f"Person {n}" for n in range(7)])
    assert [lane for share in shares for lane in share.lanes] == list(plan.lanes)
    longest = max(lane.length_m for lane in plan.lanes)
    lengths = [share.length_m for share in shares]
    assert max(lengths) - min(lengths) <= 2 * longest
    assert sum(lengths) == pytest.approx(plan.total_m)


def test_everybody_gets_a_lane_even_when_one_is_long():
    strip = shapely.MultiPolygon(
        [shapely.box(0, 0, 300, 2), shapely.box(0, 2.5, 10, 4.5), shapely.box(0, 5, 10, 7)]
    )
    plan = plan_lanes(ground(strip), spacing_m=2.4, heading_deg=90)
    shares = share_lanes(plan, ["a", "b", "c"])
    assert [len(share.lanes) for share in shares] == [1, 1, 1]
    with pytest.raises(LaneError, match="3 lanes cannot be shared among 4 people; give a closer spacing"):
        share_lanes(plan, ["a", "b", "c", "d"])
    with pytest.raises(LaneError, match="Nobody to share"):
        share_lanes(plan, [])


def test_routes_carry_names_and_lengths():
    plan = plan_lanes(ground(rectangle(100, 10)), spacing_m=2)
    assert lane_routes(plan)[0].name == "Lane 1"
    assert lane_routes(plan)[0].description == "100 m"
    one, two = share_lanes(plan, ["Wren", "Idris"])
    assert walk_route(one).name.startswith("Wren, lanes 1 to ")
    assert len(walk_route(two).coordinates) == 2 * len(two.lanes)
