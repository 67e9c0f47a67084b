"""Inside, outside or too near to say."""

import pytest
import shapely

from geo.inside import Verdict, judge_inside
from geo.local import Local

HOME = Local(0.2, 53.65)
FIELD = HOME.to_degrees(
    shapely.Polygon([(0, 0), (200, 0), (200, 100), (0, 100)], [[(80, 40), (120, 40), (120, 60), (80, 60)]])
)


def judge(x, y, accuracy_m):
    lon, lat = HOME.inverse(x, y)
    return judge_inside(FIELD, float(lon), float(lat), accuracy_m)


@pytest.mark.parametrize(
    ("x", "y", "accuracy_m", "verdict"),
    [
        (40, 50, 5, Verdict.INSIDE),
        (-40, 50, 5, Verdict.OUTSIDE),
        (100, 50, 5, Verdict.OUTSIDE),  # in the hole
        (1, 50, 5, Verdict.UNCERTAIN),
        (-1, 50, 5, Verdict.UNCERTAIN),
        (1, 50, 0.5, Verdict.INSIDE),
        (100, 50, 100, Verdict.UNCERTAIN),
        (0, 0, 5, Verdict.UNCERTAIN),
    ],
)
def test_verdicts(x, y, accuracy_m, verdict):
    assert judge(x, y, accuracy_m).verdict is verdict


def test_distance_is_negative_inside():
    assert judge(40, 50, 5).distance_m == pytest.approx(-40, abs=1e-4)
    assert judge(-40, 50, 5).distance_m == pytest.approx(40, abs=1e-4)
    assert judge(100, 50, 5).distance_m == pytest.approx(10, abs=1e-4)


@pytest.mark.parametrize("x", [-8.1, -3, -0.5, 0, 0.5, 3, 8.1])
def test_probability_on_a_straight_edge_is_the_normal_s(x):
    """Radius 95 % of 4.8955 m is a sigma of 2 m; the skip beyond 4 sigma loses under 0.0001."""
    from statistics import NormalDist

    assert judge(x, 50, 4.895494).probability == pytest.approx(NormalDist().cdf(x / 2), abs=1e-4)


def test_a_corner_holds_a_quarter():
    assert judge(0, 0, 5).probability == pytest.approx(0.25, abs=1e-6)


def test_perfect_accuracy_and_empty_ground_have_answers():
    assert judge(0.1, 50, 0.0).verdict is Verdict.INSIDE
    nothing = judge_inside({"type": "MultiPolygon", "coordinates": []}, 0.2, 53.65, 5)
    assert (nothing.verdict, nothing.probability) == (Verdict.OUTSIDE, 0.0)


def test_two_blocks_add_up():
    blocks = HOME.to_degrees(
        shapely.MultiPolygon([shapely.box(-50, -50, 0, 50), shapely.box(0.001, -50, 50, 50)])
    )
    assert judge_inside(blocks, 0.2, 53.65, 5).probability == pytest.approx(1.0, abs=1e-3)
