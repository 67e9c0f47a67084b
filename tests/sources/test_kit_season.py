"""A season of demo data on the kit page: what it shows, checked against an independent statistics library (scipy)."""

from datetime import timedelta
from random import Random

import pytest
from django.utils.timezone import now

from hunts.models import Kit
from hunts.readings import Scale, compared, scales_of
from hunts.targets import separation_score
from people.models import User
from reports.demo import kit as demo_kit
from reports.demo import season
from tests import make, make_kit

stats = pytest.importorskip("scipy.stats")
SEED = 1362


@pytest.fixture
def scale(leader: User, member: User) -> Scale:
    """120 holes as the demo digs them, with the demo's own bench test, under one set-up."""
    hunt = make.hunt(leader=leader, state="closed")
    made: Kit = make_kit.kit(member)
    make_kit.set_up(hunt, made, mode=demo_kit.MODE, set_at=now() - timedelta(hours=2))
    rng = Random(SEED)
    for _ in range(120):
        outcome = rng.choices(season.OUTCOMES, season.OFTEN)[0]
        make.hole(hunt, member, outcome=outcome, target_id=season.target_id(outcome, rng))
    demo_kit.bench_test(made, member, now(), rng)
    scales, bare = scales_of(made, member)
    assert bare == 0
    return scales[demo_kit.MODE.casefold()]


def test_iron_and_coins_differ_learnably(scale: Scale) -> None:
    split = compared(scale, 5)["split"]
    assert split.gap.low > 0.2
    assert "does tell something" in split.words


@pytest.mark.parametrize("width", [1, 5, 10])
def test_every_interval_is_scipys_wilson_interval(scale: Scale, width: int) -> None:
    """scipy.stats.binomtest(...).proportion_ci(method="wilson"), without continuity correction."""
    checked = 0
    for each in compared(scale, width)["rows"]:
        row = each["row"]
        if row.interval is None:
            continue
        theirs = stats.binomtest(row.kept, row.dug).proportion_ci(0.95, method="wilson")
        assert (row.interval.low, row.interval.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
        checked += 1
    assert checked > 5


def test_the_counts_are_the_holes(scale: Scale) -> None:
    rows = [each["row"] for each in compared(scale, 5)["rows"]]
    assert sum(row.dug for row in rows) == 120
    assert sum(row.kept for row in rows) == sum(hole.outcome == "find" for hole in scale.holes)


def test_how_often_finds_read_higher_is_scipys_u(scale: Scale) -> None:
    """U / (n m) of scipy.stats.mannwhitneyu is the chance that one side reads higher, ties counting half."""
    finds = [hole.target_id for hole in scale.holes if hole.outcome == "find"]
    iron = [hole.target_id for hole in scale.holes if hole.outcome == "iron"]
    theirs = stats.mannwhitneyu(finds, iron).statistic / (len(finds) * len(iron))
    assert separation_score(finds, iron).share == pytest.approx(theirs)
    assert compared(scale, 5)["dug_apart"]["percent"] == round(100 * theirs)


def test_the_split_lies_between_the_benchs_iron_and_coins(scale: Scale) -> None:
    split = compared(scale, 5)["split"]
    assert demo_kit.SHOWS["nail"] + 5 < split.at_id < demo_kit.SHOWS["thin silver"] - 5


@pytest.mark.parametrize(("shift", "true"), [(0.0, 0.5), (1.2, 0.802), (2.5, 0.961)])
def test_the_separations_interval_covers_the_truth_as_often_as_it_says(shift: float, true: float) -> None:
    """Simulated: normal readings `shift` spreads apart, the true chance is Phi(shift / sqrt 2) by scipy.stats.norm."""
    assert stats.norm.cdf(shift / 2**0.5) == pytest.approx(true, abs=5e-4)
    rng, hits, times = Random(7), 0, 600
    for _ in range(times):
        high = [round(1000 * rng.gauss(shift, 1)) for _ in range(18)]
        low = [round(1000 * rng.gauss(0, 1)) for _ in range(14)]
        found = separation_score(high, low)
        hits += found.low <= true <= found.high
    assert 0.92 <= hits / times <= 0.99


def test_perfect_separation_of_few_readings_is_not_called_certain() -> None:
    few, many = separation_score([60, 61, 62], [10, 11, 12]), separation_score(range(60, 100), range(40))
    assert (few.share, few.high) == (1.0, 1.0)
    assert few.low < 0.75
    assert 0.9 < many.low < 1.0
