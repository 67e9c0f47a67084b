"""Why two finds are put to the committee: every point has its reason, and no reason says what a thing is."""

from dataclasses import fields, replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finds.same_find import MOST_POINTS, SUGGEST_AT, PairFacts, pair_digest, score_pair
from geo.pairs import reach_m


def facts(number: str = "F2026-0001", **changes: Any) -> PairFacts:
    """A hammered penny of Mo's on hunt H1."""
    values = {
        "object_type": "penny, hammered",
        "is_coin": "yes",
        "year_from": 1279,
        "year_to": 1344,
        "materials": ("silver",),
        "hunt": "H1",
        "found_on": date(2026, 3, 1),
        "finder": "Mo Samphire",
        "place": (0.15, 53.6),
        "accuracy_m": 4.0,
    } | changes
    return PairFacts(number=number, **values)


PENNY, OTHER = facts(), facts("F2026-0002")
BUTTON = facts(
    "F2026-0003", object_type="button, flat", is_coin="no", year_from=1850, year_to=1880, materials=("iron",),
    hunt="H9", found_on=date(2026, 9, 1), finder="Len Groyne",
)  # fmt: skip


def words(one: PairFacts, two: PairFacts, distance_m: float | None) -> str:
    return " ".join(reason.words for reason in score_pair(one, two, distance_m).reasons)


def test_two_like_coins_in_one_spot_are_worth_looking_at() -> None:
    said = score_pair(PENNY, OTHER, 2.0)
    assert said.worth_looking
    assert said.score > 9
    assert [reason.words for reason in said.reasons] == [
        "2.0 m apart; the places are known to 4.0 m and 4.0 m, so up to 5.7 m may be one spot.",
        "Both are recorded as “penny, hammered”.",
        "Their dates overlap: 1279 to 1344.",
        "Both may be 200 or more years old, when company can count in law.",
        "Both are of silver.",
        "Both came up on the same hunt, H1.",
        "Both were found by Mo Samphire.",
    ]


def test_two_unlike_things_in_one_spot_are_not() -> None:
    assert not score_pair(PENNY, BUTTON, 0.5).worth_looking


def test_dates_that_do_not_overlap_speak_against_but_a_missing_date_does_not() -> None:
    late, bare = replace(OTHER, year_from=1500, year_to=1550), replace(OTHER, year_from=None, year_to=None)
    scores = [score_pair(PENNY, other, 2.0).score for other in (OTHER, bare, late)]
    assert scores == sorted(scores, reverse=True)
    assert "do not overlap: 1279 to 1344 and 1500 to 1550" in words(PENNY, late, 2.0)
    assert "no date yet" in words(PENNY, bare, 2.0)


@pytest.mark.parametrize(
    ("years", "overlap"),
    [((1344, 1400), True), ((1345, 1400), False), ((None, 1279), True), ((None, 1278), False), ((1344, None), True)],
)  # fmt: skip
def test_ranges_that_touch_overlap_and_an_open_end_is_open(years, overlap: bool) -> None:
    other = replace(OTHER, year_from=years[0], year_to=years[1])
    assert ("dates overlap" in words(PENNY, other, 2.0)) is overlap


def test_the_accuracy_of_both_decides_what_one_spot_is() -> None:
    exact = [replace(each, accuracy_m=0.5) for each in (PENNY, OTHER)]
    assert "were not in one spot" in words(*exact, 5.0)
    assert "may be one spot" in words(PENNY, OTHER, 5.0)
    assert score_pair(PENNY, OTHER, 5.0).reach_m == reach_m(4.0, 4.0)


def test_a_place_of_unknown_accuracy_says_what_is_taken() -> None:
    assert "10 m (taken, because none is recorded)" in words(PENNY, replace(OTHER, accuracy_m=None), 5.0)


def test_number_and_order_of_words_do_not_part_like_objects() -> None:
    plural = replace(OTHER, object_type="Hammered pennies")
    assert "Both are recorded as “penny, hammered”" in words(PENNY, plural, 2.0)


def test_days_between_are_said() -> None:
    week, later = (replace(OTHER, hunt="H2", found_on=day) for day in (date(2026, 3, 2), date(2026, 6, 9)))
    assert "one day apart" in words(PENNY, week, 2.0)
    assert "100 days apart" in words(PENNY, later, 2.0)
    assert score_pair(PENNY, week, 2.0).score > score_pair(PENNY, later, 2.0).score


YEAR = st.none() | st.integers(-2000, 2000).filter(bool)
ANY = st.builds(
    lambda first, last, **rest: PairFacts(
        year_from=first if last is None or first is None else min(first, last),
        year_to=last if last is None or first is None else max(first, last),
        **rest,
    ),
    first=YEAR,
    last=YEAR,
    number=st.sampled_from(["F1", "F2", "F3"]),
    object_type=st.sampled_from(["", "button", "buckle, shoe", "shoe buckles", "penny"]),
    is_coin=st.sampled_from(["yes", "no", "unknown"]),
    materials=st.lists(st.sampled_from(["gold", "silver", "iron"]), unique=True).map(tuple),
    hunt=st.sampled_from(["", "H1", "H2"]),
    found_on=st.dates(date(1990, 1, 1), date(2030, 1, 1)),
    finder=st.sampled_from(["", "Mo", "Len"]),
    accuracy_m=st.none() | st.floats(0, 2000),
)


@given(ANY, ANY, st.none() | st.floats(0, 5000))
def test_the_order_of_the_two_never_matters_and_points_stay_in_bounds(one, two, distance_m) -> None:
    there, back = score_pair(one, two, distance_m), score_pair(two, one, distance_m)
    assert there.score == back.score
    assert 0 <= there.score <= MOST_POINTS
    assert pair_digest(one, two) == pair_digest(two, one) or one.number == two.number
    assert all(reason.words.endswith(".") for reason in there.reasons)


@given(ANY, ANY, st.floats(0, 50), st.floats(0, 50))
def test_nearer_is_never_less(one, two, a: float, b: float) -> None:
    near, far = sorted((a, b))
    assert score_pair(one, two, near).score >= score_pair(one, two, far).score


@given(ANY, ANY, st.none() | st.floats(0, 5000))
def test_no_reason_claims_what_a_thing_is_or_that_it_must_be_reported(one, two, distance_m) -> None:
    said = words(one, two, distance_m).lower()
    for claim in ("hoard", "treasure", "same find", "must", "belong", "roman", "is a "):
        assert claim not in said


def test_nearness_alone_never_reaches_the_line() -> None:
    bare = [PairFacts(number=n, found_on=date(2026, 1, 1), object_type=n) for n in ("F1", "F2")]
    assert score_pair(*bare, 0.0).score < SUGGEST_AT


@pytest.mark.parametrize("name", [f.name for f in fields(PairFacts) if f.name != "number"])
def test_the_digest_changes_with_every_fact(name: str) -> None:
    different = {
        "object_type": "groat", "is_coin": "no", "year_from": 1280, "year_to": 1343, "materials": (), "hunt": "H2",
        "found_on": date(2026, 3, 2), "finder": "Len Groyne", "place": (0.15, 53.61), "accuracy_m": 5.0,
    }  # fmt: skip
    changed = replace(OTHER, **{name: different[name]})
    assert pair_digest(PENNY, changed) != pair_digest(PENNY, OTHER)
