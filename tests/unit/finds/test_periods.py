"""Period schemes: chosen by the place, overlapping by design, with nothing that a year could fall through."""

from itertools import pairwise

import pytest

from finds.periods import Period, scheme_for, schemes
from law.pack import load_pack

MARKS = {"R", "M", "D"}
GAPS = {("scotland", -2500)}  # as the sources have it: the Neolithic ends -2500, the Copper Age begins -2450


@pytest.mark.parametrize("scheme", schemes(), ids=lambda scheme: scheme.code)
def test_each_scheme_is_whole(scheme) -> None:
    assert scheme.cited == f"{scheme.name}, {scheme.version}"
    assert scheme.source
    for code in scheme.jurisdictions:
        assert load_pack(code).code == code
    assert len({period.label.casefold() for period in scheme.periods}) == len(scheme.periods)
    for period in scheme.periods:
        assert period.mark in MARKS, period.label
        assert 0 not in (period.first, period.last), period.label
        assert period.first is None or period.last is None or period.first < period.last, period.label


@pytest.mark.parametrize("scheme", schemes(), ids=lambda scheme: scheme.code)
def test_no_year_since_the_mesolithic_falls_between_two_periods(scheme) -> None:
    begins = scheme.period("Mesolithic")
    assert begins is not None
    dated = [p for p in scheme.periods if p.first is not None and p.first >= begins.first]
    covered = sorted((p.first, p.last) for p in dated)
    reached = covered[0][0]
    for first, last in covered:
        assert first <= reached + 1 or (scheme.code, reached) in GAPS, f"nothing from {reached} to {first}"
        reached = max(reached, last if last is not None else 9999)
    assert reached == 9999


def test_a_nation_without_a_scheme_has_none() -> None:
    assert scheme_for("isle-of-man") is None
    assert scheme_for("us-florida") is None


@pytest.mark.parametrize("label", ["post-medieval", "POST MEDIEVAL", " Post-Medieval "])
def test_case_and_hyphen_do_not_matter(label: str) -> None:
    scheme = scheme_for("england")
    assert scheme is not None
    assert scheme.period(label) == scheme.period("Post-medieval")


def test_one_name_means_other_years_in_another_nation() -> None:
    spans = {
        code: scheme_for(code).period("Iron Age") for code in ("england", "wales", "ireland", "scotland")
    }
    assert len({(p.first, p.last) for p in spans.values()}) == 4


@pytest.mark.parametrize(
    ("first", "last", "overlaps"),
    [(43, 410, True), (410, 500, True), (411, 500, False), (-100, 42, False), (-100, 43, True), (None, 42, False),
     (None, 43, True), (410, None, True), (411, None, False), (None, None, True)],
)  # fmt: skip
def test_sharing_one_year_is_overlapping(first: int | None, last: int | None, overlaps: bool) -> None:
    assert Period("Roman", 43, 410, "R").overlaps(first, last) is overlaps


def test_an_open_period_overlaps_whatever_reaches_its_closed_end() -> None:
    assert Period("Modern", 1901, None, "M").overlaps(1950, 1960)
    assert not Period("Modern", 1901, None, "M").overlaps(1800, 1900)


def test_neighbours_overlap_by_design() -> None:
    scheme = scheme_for("england")
    ages = [scheme.period(name) for name in ("Neolithic", "Bronze Age", "Iron Age")]
    assert all(later.first < earlier.last for earlier, later in pairwise(ages))
