"""The sweep plan at its edges: bad numbers, spare time, lane spacing, capacity."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hunts.pace import overlap_walked, say_pace
from hunts.sweep import (
    Settings,
    SweepError,
    capacity,
    gross_m2_h,
    hours_to_sweep,
    lane_cover,
    net_m2_h,
    plan_ground,
    walking_m_s,
)


@pytest.mark.parametrize("coil_m", [0, -0.28, 28, math.nan, math.inf])
def test_impossible_coil_is_named_with_remedy(coil_m):
    with pytest.raises(SweepError, match=rf"Coil length is {coil_m:g} m; give 0.03 to 1.2 m") as caught:
        Settings(coil_m=coil_m)
    assert caught.value.value is coil_m


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("overlap", 1, "half is 0.5"),
        ("overlap", 50, "half is 0.5"),
        ("swing_m_s", 0, "2 to 5 ft/s"),
        ("swath_m", -1, "1.2 to"),
    ],
)
def test_other_settings_are_refused_with_a_hint(field, value, said):
    with pytest.raises(SweepError, match=said):
        Settings(**{field: value})


def test_swath_cancels_in_the_rate_but_not_in_the_pace():
    narrow, wide = Settings(swath_m=1.2), Settings(swath_m=2.0)
    assert gross_m2_h(narrow) == gross_m2_h(wide)
    assert walking_m_s(narrow) > walking_m_s(wide)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"people": 0}, "People is 0 people; give 1 to 5000"),
        ({"hours": 0}, "Hours is 0 hours each"),
        ({"hours": 30}, "Hours is 30 hours each"),
        ({"spacing_m": 0}, "Lane spacing is 0 m"),
        ({"targets_per_ha": -3}, "Targets is -3 per hectare"),
        ({"minutes_per_dig": -1}, "Time per dig is -1 minutes"),
    ],
)
def test_plan_names_the_bad_input(change, said):
    with pytest.raises(SweepError, match=said):
        plan_ground(40_000, Settings(), **{"people": 4, "hours": 3, **change})


def test_no_area_is_refused():
    with pytest.raises(SweepError, match="Area is 0 m²"):
        plan_ground(0, Settings(), people=1, hours=1)


def test_small_ground_says_what_is_spare_and_what_lanes_leave():
    plan = plan_ground(2000, Settings(), people=1, hours=5, spacing_m=3)
    assert plan.share_walked == 1
    assert plan.share_swept == 0.5
    assert plan.visits == 1
    assert "1 person in 5 hours will sweep about 0.1 ha, 50 %" in plan.sentence
    assert "leave 50 % unswept" in plan.sentence
    assert "about 3 person-hours to spare" in plan.sentence


def test_lanes_closer_than_the_swath_cost_double():
    once = plan_ground(10_000, Settings(), people=1, hours=10)
    twice = plan_ground(10_000, Settings(), people=1, hours=10, spacing_m=0.75)
    assert twice.hours_needed == pytest.approx(2 * once.hours_needed)
    assert twice.share_swept == pytest.approx(once.share_swept / 2)


def test_a_vast_estate_is_honest():
    plan = plan_ground(5_000_000, Settings(), people=2, hours=4, targets_per_ha=200)
    assert "less than 1 %" in plan.sentence
    assert plan.visits > 1000


@given(
    area_m2=st.floats(100, 1e6),
    people=st.integers(1, 200),
    hours=st.floats(0.5, 12),
    spacing_m=st.floats(0.5, 20),
    targets=st.floats(0, 2000),
)
def test_plan_never_covers_more_than_there_is(area_m2, people, hours, spacing_m, targets):
    plan = plan_ground(
        area_m2, Settings(), people=people, hours=hours, spacing_m=spacing_m, targets_per_ha=targets
    )
    assert 0 < plan.share_swept <= plan.share_walked <= 1
    assert plan.net_m2_h <= plan.gross_m2_h * 1.000001
    assert (plan.visits == 1) == (plan.hours_needed <= plan.hours_available * 1.000001)
    assert ("cannot" in plan.sentence) == (plan.share_walked < 1)


def test_capacity_follows_the_owner_and_never_falls_to_nobody():
    assert capacity(100_000, owner_cap=10).maximum == 10
    assert "The agreement allows 10" in capacity(100_000, owner_cap=10).sentence
    assert capacity(500).maximum == 1
    with pytest.raises(SweepError, match="owner's limit is 0"):
        capacity(100_000, owner_cap=0)


def test_lane_arithmetic_at_exact_multiples():
    assert lane_cover(1.5, 1.5) == 1
    with pytest.raises(SweepError, match="more than 0 hours"):
        net_m2_h(100, 0)
    assert hours_to_sweep(0, Settings()) == 0


def test_pace_of_a_track_is_set_against_the_plan():
    common = Settings()
    assert overlap_walked(common, walking_m_s(common)) == pytest.approx(0.5)
    assert say_pace(common, walking_m_s(common)).endswith("The overlap holds.")
    assert "overlaps by 24 %, not 50 %" in say_pace(common, 0.13)
    # 0.34 m/s times 1.64 s is 0.558 m forward under a coil of 0.28 m: half is missed
    assert "50 % of the ground lies between the sweeps" in say_pace(common, 0.34)
    with pytest.raises(SweepError, match="Pace is 9 m/s"):
        say_pace(common, 9)
