"""Kernel densities and aoristic sums against published examples and scipy.

Densities are compared with scipy.stats.gaussian_kde, computed here. Spans: A. Palmisano, A. Bevan and S. Shennan
2017 (Journal of Archaeological Science; from memory), a public test input; the sums are computed from the formula by
hand. One event between 08 and 16 h: J. H. Ratcliffe 2000, 0.125 an hour.
"""

import math

import numpy as np
import pytest
from scipy.integrate import dblquad
from scipy.stats import gaussian_kde

from geo.aoristic import weights
from geo.kde import (
    QUARTIC_OVER_GAUSSIAN,
    Blocks,
    density_over_ground,
    intensity,
    quartic,
    silverman_m,
)


def gaussian(u):
    """exp(-u²/2)/2π: the kernel that scipy uses. Source: Silverman 1986, equation 4.3."""
    return np.exp(-np.square(u) / 2) / (2 * math.pi)


def test_points_in_the_plane_have_the_densities_of_scipy() -> None:
    """scipy's kernel follows the points' covariance; with round covariance both kernels are the same."""
    rng = np.random.default_rng(5)
    points = rng.normal(size=(40, 2))
    points = np.linalg.solve(np.linalg.cholesky(np.cov(points.T)), (points - points.mean(axis=0)).T).T
    at = rng.normal(size=(25, 2))
    peer = gaussian_kde(points.T, bw_method=0.4)
    assert intensity(points, at, 0.4, gaussian) / len(points) == pytest.approx(peer(at.T), rel=1e-9)


def test_bandwidth_is_the_one_of_silverman() -> None:
    """scipy's factor of that name is n^(-1/6) for two dimensions, to be multiplied by the spread."""
    points = np.random.default_rng(6).normal(scale=12.0, size=(64, 2))
    sigma = math.sqrt((np.var(points[:, 0], ddof=1) + np.var(points[:, 1], ddof=1)) / 2)
    assert silverman_m(points) == pytest.approx(sigma * gaussian_kde(points.T, "silverman").factor)


@pytest.mark.parametrize(("kernel", "reach"), [(quartic, 1.0), (gaussian, 9.0)])
def test_kernels_hold_one_point(kernel, reach: float) -> None:
    volume, _ = dblquad(
        lambda y, x: float(kernel(math.hypot(x, y))), -reach, reach, -reach, reach, epsabs=1e-7
    )
    assert volume == pytest.approx(1, abs=1e-6)


def test_quartic_spreads_as_far_as_the_gaussian_it_stands_for() -> None:
    """The variance along one axis is the integral of x² K: 1/8 for the quartic, 1 for the Gaussian."""
    spread, _ = dblquad(lambda y, x: x * x * float(quartic(math.hypot(x, y))), -1, 1, -1, 1, epsabs=1e-8)
    assert math.sqrt(1 / spread) == pytest.approx(QUARTIC_OVER_GAUSSIAN, abs=1e-5)


@pytest.mark.parametrize("radius", [5.0, 40.0])
def test_a_lone_point_stands_three_over_pi_h_squared_high(radius: float) -> None:
    assert intensity([(3, 4)], [(3, 4)], radius)[0] == pytest.approx(3 / (math.pi * radius**2))


def test_evenly_strewn_points_are_as_thick_at_the_edge_as_in_the_middle() -> None:
    """One point in the middle of each block of 4 m, all ground covered: 1/16 a square metre, corners and all."""
    blocks = Blocks(np.ones((20, 20)), 0, 0, 4)
    plain = intensity(blocks.middles, blocks.middles, 20).reshape(20, 20)
    over_ground = density_over_ground(blocks.middles, blocks, 20)
    assert plain[0, 0] < 0.6 / 16
    assert over_ground == pytest.approx(np.full((20, 20), 1 / 16), rel=1e-9)


def test_ground_covered_by_half_counts_half() -> None:
    blocks = Blocks(np.full((20, 20), 0.5), 0, 0, 4)
    assert density_over_ground(blocks.middles, blocks, 20) == pytest.approx(
        np.full((20, 20), 2 / 16), rel=1e-9
    )


def test_ground_nobody_covered_is_unknown_and_not_empty() -> None:
    share = np.ones((6, 6))
    share[:, 3:] = 0
    found = density_over_ground([(2, 2)], Blocks(share, 0, 0, 2), 6)
    assert np.isnan(found[:, 3:]).all()
    assert np.isfinite(found[:, :3]).all()


def test_an_event_of_eight_hours_weighs_an_eighth_an_hour() -> None:
    """Ratcliffe 2000: one event between 08 and 16 h."""
    shares = weights([(8, 16)], range(25))[0]
    assert shares.tolist() == [0.0] * 8 + [0.125] * 8 + [0.0] * 8


def test_spans_of_the_public_test_input_sum_as_the_formula_says() -> None:
    """Palmisano et al. 2017, bins of 200 years from 2200 BC: (200/800, 200/800 + 200/400 + 200/600, …)."""
    spans = [(-2200, -1400), (-2000, -1600), (-1600, -1400), (-2000, -1400)]
    sums = weights(spans, range(-2200, -1399, 200)).sum(axis=0)
    assert sums == pytest.approx([0.25, 1.083333, 1.083333, 1.583333], abs=5e-7)
    assert sums.sum() == pytest.approx(4)
