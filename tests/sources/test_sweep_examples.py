"""Worked examples of sweeping, each with where its inputs come from; values to the precision they were
printed with.

Origins: "manual" a maker's manual read for its limits only; "diary" a hobbyist's diary of a roped 20 x 20 m
grid (2020); "transects" a trust's walked battlefield survey (10 m) and a published agreement clause (5 m);
"tip" a published essay on random against gridded search; "trial" a state survey's trial on one plot (2018);
"essay" a member's essay on club size. "Common practice" and "example" are marked as such. The arithmetic
was done by hand from the formulae.
"""

import pytest

from hunts.detection import (
    bowl_volume_share,
    depth_for_size_m,
    depth_reached_everywhere,
    detection_after,
    objects_in_ground,
    random_cover,
    two_pass_removal,
)
from hunts.sweep import (
    ACRE_M2,
    Settings,
    SweepError,
    capacity,
    gross_m2_h,
    hours_to_sweep,
    lane_count,
    lane_cover,
    net_m2_h,
    plan_ground,
    sweep_s,
    walking_m_s,
)

COMMON = Settings(coil_m=0.28, overlap=0.5, swing_m_s=0.9144, swath_m=1.5)


def test_e1_common_practice_rates():
    """E1, common practice: 28 cm coil, half overlap, 3 ft/s, 1.5 m swath."""
    assert sweep_s(COMMON) == pytest.approx(1.640, abs=5e-4)
    assert walking_m_s(COMMON) == pytest.approx(0.0853, abs=1e-4)
    assert walking_m_s(COMMON) * 60 == pytest.approx(5.12, abs=5e-3)
    assert gross_m2_h(COMMON) == pytest.approx(460.9, abs=0.05)
    assert hours_to_sweep(10_000, COMMON) == pytest.approx(21.70, abs=5e-3)
    assert hours_to_sweep(ACRE_M2, COMMON) == pytest.approx(8.78, abs=5e-3)


def test_e2_slow_swing_with_quarter_overlap():
    """E2, manual: 23 cm coil, quarter overlap, 2 ft/s."""
    slow = Settings(coil_m=0.23, overlap=0.25, swing_m_s=0.6096)
    assert gross_m2_h(slow) == pytest.approx(378.6, abs=0.05)
    assert hours_to_sweep(10_000, slow) == pytest.approx(26.42, abs=0.01)


def test_e3_roped_square_in_three_hours():
    """E3, diary:

    20 x 20 m took 3 h; against E1 that is 28.9 % of the time sweeping, about 32 holes at 4 minutes.
    """
    assert net_m2_h(400, 3) == pytest.approx(133.3, abs=0.05)
    assert 10_000 / net_m2_h(400, 3) == pytest.approx(75)
    assert net_m2_h(400, 3) / gross_m2_h(COMMON) == pytest.approx(0.289, abs=5e-4)
    assert hours_to_sweep(400, COMMON, targets=32, minutes_per_dig=4) == pytest.approx(3, abs=0.01)


@pytest.mark.parametrize(
    ("spacing_m", "share", "lanes"),
    [(10, 0.15, 10), (5, 0.30, 20), (2.5, 0.60, 40), (1.5, 1.0, 67)],
)
def test_e4_transects_on_a_hectare(spacing_m, share, lanes):
    """E4, transects (10 m and 5 m), common practice (2.5 m), full cover: 100 x 100 m, swath 1.5 m."""
    assert lane_cover(1.5, spacing_m) == pytest.approx(share)
    assert lane_count(100, spacing_m) == lanes


@pytest.mark.parametrize(
    ("overlap", "volume", "depth"),
    [(0, 0.667, 0), (0.25, 0.8125, 0.4375), (0.5, 0.917, 0.75), (0.75, 0.979, 0.9375)],
)
def test_e5_bowl_shaped_field(overlap, volume, depth):
    """E5: the published 67 % and 92 % (tip) are the first and third rows."""
    assert bowl_volume_share(overlap) == pytest.approx(volume, abs=5e-4)
    assert depth_reached_everywhere(overlap) == pytest.approx(depth)


def test_e6_random_against_gridded():
    """E6, tip: a tenth of the field an hour; each sweep examines 67 % of the volume, a half-overlap grid 92
    % of it.

    The tip's own rounded 0.67 and 0.92 are used; ours differ in the third figure (2/3 and 11/12, E5).
    """
    assert random_cover(5, 10) == pytest.approx(0.393, abs=5e-4)
    random_volume = {hours: random_cover(0.67 * hours, 10) for hours in (5, 12.03, 20)}
    grid_volume = {hours: 0.92 * hours * 0.1 * 0.5 for hours in (5, 12.03, 20)}
    assert random_volume[5] == pytest.approx(0.285, abs=5e-4)
    assert grid_volume[5] == pytest.approx(0.230, abs=5e-4)
    assert random_volume[20] == pytest.approx(0.738, abs=5e-4)
    assert grid_volume[20] == pytest.approx(0.920, abs=5e-4)
    assert random_volume[12.03] == pytest.approx(grid_volume[12.03], abs=5e-4)
    assert random_volume[12.03] == pytest.approx(0.553, abs=5e-4)


def test_e7_objects_left_from_wide_lanes():
    """E7, example: 12 shot from 4 ha on 10 m lanes, chance 0.8."""
    total = objects_in_ground(12, lane_cover(1.5, 10), 0.8)
    assert total == pytest.approx(100)
    assert total / 4 == pytest.approx(25)


def test_e8_repeated_passes():
    """E8: two passes at 0.6, three at 0.5; trial:

    two machines crossing found 135 against 83 and 92 in one pass.
    """
    assert detection_after(2, 0.6) == pytest.approx(0.84)
    assert detection_after(3, 0.5) == pytest.approx(0.875)
    gain = 135 / 83
    assert gain == pytest.approx(1.627, abs=5e-4)
    assert detection_after(2, 1 - 0.627) / (1 - 0.627) == pytest.approx(gain, abs=5e-4)


def test_e9_two_pass_removal():
    """E9: first pass from the trial, second invented."""
    total, chance = two_pass_removal(135, 40)
    assert total == pytest.approx(191.8, abs=0.05)
    assert chance == pytest.approx(0.704, abs=5e-4)
    with pytest.raises(SweepError, match="took 135 after 135"):
        two_pass_removal(135, 135)


def test_e10_a_club_day_never_does_twenty_acres():
    """E10: 20 people for 5 h at the diary's net 133.3 m²/h is 1.33 ha, 3.29 acres, 16.5 % of 20 acres."""
    digs_per_ha = (75 - hours_to_sweep(10_000, COMMON)) * 60 / 4
    plan = plan_ground(
        20 * ACRE_M2, COMMON, people=20, hours=5, targets_per_ha=digs_per_ha, minutes_per_dig=4
    )
    assert plan.net_m2_h == pytest.approx(133.3, abs=0.05)
    assert plan.swept_m2 == pytest.approx(13_333, abs=0.5)
    assert plan.swept_m2 / ACRE_M2 == pytest.approx(3.29, abs=5e-3)
    assert plan.share_swept == pytest.approx(0.165, abs=5e-4)
    assert plan.visits == 7
    assert "One visit cannot do this field" in plan.sentence


def test_e11_capacity():
    """E11, essay: 34 acres take 34 people comfortably and 68 at the most."""
    heads = capacity(34 * ACRE_M2)
    assert (heads.comfortable, heads.maximum) == (34, 68)


@pytest.mark.parametrize(("size_m", "depth_m"), [(0.038, 0.316), (0.076, 0.468), (0.0095, 0.101)])
def test_e12_rough_depth_by_size(size_m, depth_m):
    """E12, common practice: coil radius 0.14 m, a 19 mm coin met at 0.20 m."""
    assert depth_for_size_m(0.14, 0.019, 0.20, size_m) == pytest.approx(depth_m, abs=5e-4)
