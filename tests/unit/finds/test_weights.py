"""Weights are read as people write them, and what is no weight is named."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finds.weights import WeightError, grains, read_weight


@pytest.mark.parametrize(
    ("text", "grams", "words"),
    [
        ("1.43", "1.43", ""),
        ("1,43", "1.43", ""),
        (" 1.4 g ", "1.40", ""),
        ("1.4g", "1.40", ""),
        ("22 gr", "1.43", "22 grains"),
        ("22 grains", "1.43", "22 grains"),
        ("22.5 Grains", "1.46", "22.5 grains"),
        ("0.05 oz", "1.42", "0.05 ounces (avoirdupois)"),
        ("0.05 oz.", "1.42", "0.05 ounces (avoirdupois)"),
        ("1 troy oz", "31.10", "1 troy ounces"),
        ("2 dwt", "3.11", "2 pennyweights"),
        ("950 mg", "0.95", "950 mg"),
        ("1.2 kg", "1200.00", "1.2 kg"),
        (".5", "0.50", ""),
    ],
)
def test_weights_with_and_without_a_unit(text: str, grams: str, words: str) -> None:
    weight = read_weight(text)
    assert (weight.grams, weight.words) == (Decimal(grams), words)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("heavy", "“heavy” is not a weight"),
        ("22 stones", "“stones” is not a unit known here; use g, mg, kg, grains"),
        ("1.2.3", "“1.2.3” is not a weight"),
        ("1e5", "“1e5” is not a weight"),
        ("inf", "“inf” is not a weight"),
        ("1 000", "“1 000” is not a weight"),
    ],
)
def test_what_is_no_weight_is_named(text: str, says: str) -> None:
    with pytest.raises(WeightError, match=says):
        read_weight(text)


@given(st.decimals(min_value=1, max_value=10_000, places=1))
def test_grains_come_back_the_same_typed_or_chosen(number: Decimal) -> None:
    typed, chosen = read_weight(f"{number} grains"), grains(number)
    assert typed.grams == chosen.grams
    assert typed.words == chosen.words
    assert abs(float(chosen.grams) * 15.4323584 - float(number)) < 0.08 + 1e-6  # half of 0.01 g
