"""Worked examples of sweeping, each with where its inputs come from; values to the precision they were
printed with.

Origins: "manual" a maker's manual read for its limits only; "diary" a hobbyist's diary of a roped 20 x 20 m
grid (2020); "transects" a trust's walked battlefield survey (10 m) and a published agreement clause (5 m);
"essay" a member's essay on club size. "Common practice" and "example" are marked as such. The arithmetic
was done by hand from the formulae.
"""

import pytest

from hunts.sweep import (
    ACRE_M2,
    Settings,
    capacity,
    gross_m2_h,
    hours_to_sweep,
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
    ("spacing_m", "share"),
    [(10, 0.15), (5, 0.30), (2.5, 0.60), (1.5, 1.0)],
)
def test_e4_transects_on_a_hectare(spacing_m, share):
    """E4, transects (10 m and 5 m), common practice (2.5 m), full cover: 100 x 100 m, swath 1.5 m."""
    assert lane_cover(1.5, spacing_m) == pytest.approx(share)


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
