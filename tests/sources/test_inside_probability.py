"""The probability of lying inside against closed forms of the circular normal.

Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.1 and section 26.9; the half-plane is the
normal distribution function itself; a disc of radius r holds 1 - exp(-r^2/2).
"""

import math

import numpy as np
import pytest
import shapely

from geo.inside import probability_inside


def phi(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


def test_square_of_one_sigma_each_way():
    """(2 Phi(1) - 1)^2 = 0.4660649427."""
    assert probability_inside(shapely.box(-1, -1, 1, 1), 1.0) == pytest.approx(0.4660649427, abs=1e-9)


@pytest.mark.parametrize(("distance", "expected"), [(0.0, 0.5), (1.0, 0.8413447), (1.645, 0.9500151)])
def test_half_plane_is_the_normal_distribution(distance, expected):
    """A&S table 26.1."""
    assert probability_inside(shapely.box(-distance, -60, 60, 60), 1.0) == pytest.approx(expected, abs=1e-7)


@pytest.mark.parametrize("distance", [1e-9, 1e-6, 1e-3, 0.01, 0.1, 0.5, 2, 3, 3.9])
def test_half_plane_holds_at_every_distance(distance):
    flat = shapely.box(-distance, -500, 500, 500)
    assert probability_inside(flat, 1.0) == pytest.approx(phi(distance), abs=1e-9)


def test_quadrant_seen_from_its_corner():
    assert probability_inside(shapely.box(0, 0, 60, 60), 1.0) == pytest.approx(0.25, abs=1e-9)


def test_disc_of_the_95_percent_radius():
    """r = sqrt(-2 ln 0.05) = 2.4477 sigma."""
    disc = shapely.Point(0, 0).buffer(2.447746831, quad_segs=2000)
    assert probability_inside(disc, 1.0) == pytest.approx(0.95, abs=1e-6)


@pytest.mark.parametrize(
    "box", [(-0.3, -2, 1.7, 0.4), (0.5, 0.2, 3, 1.1), (-4, 2, -1, 2.5), (-9, -0.01, 0.01, 7)]
)
def test_any_box_is_the_product_of_two_normals(box):
    """A&S 26.3: independent coordinates."""
    x0, y0, x1, y1 = box
    expected = (phi(x1) - phi(x0)) * (phi(y1) - phi(y0))
    assert probability_inside(shapely.box(*box), 1.0) == pytest.approx(expected, abs=1e-9)


def test_a_hole_takes_its_share_away():
    field = shapely.Polygon(shapely.box(-5, -5, 5, 5).exterior, [shapely.box(-1, -1, 1, 1).exterior])
    expected = (2 * phi(5) - 1) ** 2 - (2 * phi(1) - 1) ** 2
    assert probability_inside(field, 1.0) == pytest.approx(expected, abs=1e-9)


def test_a_ragged_field_with_a_hole_agrees_with_counting_random_points():
    """Monte Carlo, 400,000 points, seed fixed: three standard errors are 0.0024."""
    shell = [(-2, -3), (4, -1), (1, 0.2), (3, 3), (-1, 1.5), (-3, 2)]
    field = shapely.Polygon(shell, [[(-1, -1), (0.5, -1), (0.2, 0.5)]])
    points = np.random.default_rng(7).normal(size=(400_000, 2))
    shapely.prepare(field)
    counted = shapely.contains_xy(field, points[:, 0], points[:, 1]).mean()
    assert probability_inside(field, 1.0) == pytest.approx(counted, abs=0.0024)
