"""What is written of a coin is held against how such coins were struck; the answer is a sentence with figures."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finds.coin_table import named, standards
from finds.coins import CoinFacts, coin_notes, grains_question

SILVER = frozenset({"silver"})


def coin(
    name: str, first: int | None = None, last: int | None = None, grams: str | None = None, **more
) -> CoinFacts:
    return CoinFacts(name, first, last, Decimal(grams) if grams else None, **more)


def test_a_heavy_penny_is_said_with_its_figures() -> None:
    assert coin_notes(coin("penny", 1351, 1411, "2.40")) == (
        "A penny of 1351 to 1411 weighed 1.17 g when struck; 2.40 g is outside 0.70 to 1.28 g "
        "(clipping and wear allowed for, common practice).",
    )


@pytest.mark.parametrize("grams", ["0.70", "1.17", "1.28"])
def test_clipped_and_full_pennies_fit(grams: str) -> None:
    assert coin_notes(coin("Short cross Penny, cleaned", 1360, 1400, grams)) == ()


def test_a_cut_or_broken_coin_may_weigh_any_less() -> None:
    assert coin_notes(coin("cut penny", 1360, 1400, "0.30")) == ()
    assert coin_notes(coin("penny", 1360, 1400, "0.30", completeness="Fragment")) == ()
    assert "up to 1.28 g" in coin_notes(coin("cut penny", 1360, 1400, "3.00"))[0]
    assert (
        coin_notes(coin("penny of Parthian style", 1360, 1400, "0.30")) != ()
    )  # no part, for all its letters


def test_a_lot_is_judged_by_the_coin() -> None:
    assert coin_notes(coin("pennies", 1360, 1400, "11.2", count=10)) == ()
    assert "2.24 g each (22.4 g for 10)" in coin_notes(coin("pennies", 1360, 1400, "22.4", count=10))[0]


def test_years_that_span_two_standards_allow_both() -> None:
    assert coin_notes(coin("penny", 1340, 1360, "1.50")) == ()  # up to 22 grains and 10 %
    assert "weighed 1.17 to 1.43 g" in coin_notes(coin("penny", 1340, 1360, "1.60"))[0]


def test_milled_coins_have_little_room() -> None:
    assert coin_notes(coin("bronze penny 1912", 1912, 1912, "9.3")) == ()
    bronze = coin_notes(coin("penny", 1912, 1912, "8.0", metals=frozenset({"copper alloy"})))
    assert "8.00 g is outside 8.50 to 9.64 g (wear allowed for" in bronze[0]
    assert "outside 0.42 to 0.48 g and 8.50 to 9.64 g" in coin_notes(coin("penny", 1912, 1912, "8.0"))[0]


def test_silver_that_the_standard_contradicts_is_said() -> None:
    assert coin_notes(coin("shilling", 1930, 1930, silver_percent=Decimal("92.5"))) == (
        "A shilling of 1920 to 1946 was struck with 50 % silver; 92.5 % does not fit. "
        "Look at the date, or have it analysed again.",
    )
    assert coin_notes(coin("shilling", 1930, 1930, silver_percent=Decimal(48))) == ()
    assert coin_notes(coin("penny", 1547, 1549, silver_percent=Decimal(40))) == ()  # the debasement
    assert coin_notes(coin("penny", 1300, 1310, silver_percent=Decimal(40))) != ()


def test_a_silver_coin_recorded_as_copper_alloy_is_said() -> None:
    notes = coin_notes(coin("penny", 1300, 1310, "1.3", metals=frozenset({"copper alloy"})))
    assert "was struck in silver; this one is recorded as copper alloy" in notes[0]


def test_the_metal_tells_the_silver_penny_from_the_copper_one() -> None:
    assert coin_notes(coin("penny", 1820, 1820, "18.8", metals=frozenset({"copper alloy"}))) == ()
    assert coin_notes(coin("penny", 1820, 1820, "18.8", metals=SILVER)) != ()


def test_a_diameter_far_off_is_said() -> None:
    assert coin_notes(coin("sestertius", 100, 110, diameter_mm=Decimal(33))) == ()
    assert coin_notes(coin("sestertius", 100, 110, diameter_mm=Decimal(19))) == (
        "A sestertius of 23 BC to AD 275 measured 30 to 38 mm across; 19 mm is not near that.",
    )


@pytest.mark.parametrize(
    ("name", "first", "last"), [("denarius", 1200, 1300), ("groat", 900, 1000), ("sceat", 1066, 1087)]
)
def test_years_in_which_none_was_struck_are_said(name: str, first: int, last: int) -> None:
    notes = coin_notes(coin(name, first, last, "3"))
    assert len(notes) == 1
    assert "Look again at the date or at what the coin is" in notes[0]


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("half groat", "half groat"),
        ("groat of Edward III", "groat"),
        ("Half-penny", "halfpenny"),
        ("long cross farthing", "farthing"),
        ("half sovereign", "half sovereign"),
        ("as", "as"),
    ],
)
def test_the_longest_name_counts(name: str, title: str) -> None:
    assert title in {standard.title for standard in named(name)}
    assert all(standard.title.endswith(title) for standard in named(name))


@pytest.mark.parametrize(
    "name", ["thimble with a starry crown", "buckle as found", "pennyweight", "", "coin"]
)
def test_other_words_mean_no_coin(name: str) -> None:
    assert named(name) == ()
    assert coin_notes(coin(name, 1300, 1310, "400")) == ()


def test_grains_typed_as_grams_are_asked_about() -> None:
    assert grains_question(coin("penny", 1275, 1279, "22"), is_coin=True) == (
        "22 g is far more than a penny of 1275 to 1342 weighs (1.43 g). 22 grains is 1.43 g. Did you weigh in grains?"
    )


@pytest.mark.parametrize("grams", ["1.4", "2.2", "500"])
def test_weights_that_fit_or_fit_neither_way_are_not_asked_about(grams: str) -> None:
    assert grains_question(coin("penny", 1275, 1279, grams), is_coin=True) == ""


def test_a_coin_of_no_known_kind_is_asked_about_by_its_size() -> None:
    assert grains_question(coin("coin", grams="22", diameter_mm=Decimal(18)), is_coin=True).startswith(
        "22 g is far more than a coin of that size weighs"
    )
    assert grains_question(coin("coin", grams="22"), is_coin=True) == ""
    assert grains_question(coin("coin", grams="90"), is_coin=True) != ""
    assert grains_question(coin("axe", grams="900"), is_coin=False) == ""


@given(st.sampled_from(standards()), st.floats(0, 1))
def test_any_weight_between_the_bounds_of_its_standard_is_never_questioned(standard, share: float) -> None:
    grams = standard.grams[0] + share * (standard.grams[1] - standard.grams[0])
    facts = CoinFacts(standard.words[0], standard.first, standard.last, Decimal(f"{grams:.2f}"))
    assert coin_notes(facts) == ()
    assert grains_question(facts, is_coin=True) == ""
