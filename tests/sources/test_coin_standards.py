"""The table of coins against published weights, and the warnings against coins that were really weighed.

Sources, read in November 2026 in stored copies of public pages unless marked otherwise:
- PEN: A. Feavearyear, The Pound Sterling, appendix table of the penny's weight, p. 439, as quoted by the Marteau pages
  ("Penny (England)") and by H. Cunningham's table, which agree row by row.
- ACT: Coinage Act 1870 (33 & 34 Vict. c. 10), First Schedule, as printed in Encyclopaedia Britannica, 9th ed.,
  vol. 16, p. 483 (Mint): standard weight in grains and grammes, and least current weight. The half sovereign's grammes
  are a slip of the type there; its grains are used.
- NEW: Isaac Newton's notes on the loss of weight of old hammered coin, Royal Mint papers (The Newton Project,
  MINT00190).
- TRADE: coin tables and specification pages quoted in our facts/trade.md 5.5 (BRIT, DEN, ROM, ITA, FOU, LOI).
- 1959: international yard and pound agreement: 1 lb = 0.45359237 kg = 7000 grains.
"""

import itertools
from decimal import Decimal
from fractions import Fraction

import pytest

from finds.coin_table import MARKS, named, standards
from finds.coins import CoinFacts, coin_notes
from finds.weights import GRAIN_G, read_weight

PENNY = [  # PEN: year from which, grains, grams as printed
    (900, 24, 1.5552),
    (991, 22.5, 1.458),
    (1275, 22, 1.4256),
    (1343, 20.3, 1.31544),
    (1345, 20.15, 1.30572),
    (1346, 20, 1.296),
    (1351, 18, 1.1664),
    (1412, 15, 0.972),
    (1464, 12, 0.7776),
    (1526, 10.7, 0.69336),
    (1544, 10, 0.648),
    (1552, 8, 0.5184),
    (1560, 8, 0.5184),
    (1601, 7.8, 0.50544),
]
SCHEDULE = [  # ACT: coin, year, grains, grammes, least current weight in grains (None: none is given)
    ("sovereign", 1871, 123.27447, 7.98805, 122.5),
    ("half sovereign", 1871, 61.63723, None, 61.125),
    ("crown", 1871, 436.36363, 28.27590, None),
    ("half crown", 1874, 218.18181, 14.13795, None),
    ("florin", 1871, 174.54545, 11.31036, None),
    ("shilling", 1871, 87.27272, 5.65518, None),
    ("sixpence", 1871, 43.63636, 2.82759, None),
    ("threepence", 1871, 21.81818, 1.41379, None),
    ("penny", 1871, 145.83333, 9.44984, None),
    ("halfpenny", 1871, 87.5, 5.66990, None),
    ("farthing", 1871, 43.75, 2.83495, None),
]
ROMAN = [  # TRADE: coin, year, grams
    ("aureus", 10, 7.8),
    ("aureus", 70, 7.3),
    ("denarius", -205, 4.5),
    ("denarius", -50, 3.9),
    ("denarius", 100, 3.4),
    ("solidus", 400, 4.55),
    ("sestertius", 120, 25),
    ("dupondius", 120, 11),
    ("quadrans", 90, 3),
    ("siliqua", 380, 2.0),
]


def only(name: str, year: int, metal: str = ""):
    found = [s for s in named(name) if s.in_years(year, year) and (not metal or s.metal == metal)]
    assert len(found) == 1, found
    return found[0]


def test_a_grain_is_exact() -> None:
    """1959: 453.59237 g / 7000."""
    assert Fraction(GRAIN_G) == Fraction("453.59237") / 7000
    assert read_weight("7000 grains").grams == Decimal("453.59")
    assert read_weight("1 oz").grams == Decimal("28.35")  # 1/16 lb
    assert read_weight("1 troy oz").grams == Decimal("31.10")  # 480 grains
    assert read_weight("1 dwt").grams == Decimal("1.56")  # 24 grains


@pytest.mark.parametrize(("year", "grains", "grams"), PENNY)
def test_the_penny_weighed_what_the_table_says(year: int, grains: float, grams: float) -> None:
    """PEN reckons 0.0648 g a grain, so its grams differ from ours by up to 2 parts in 100,000."""
    penny = only("penny", year)
    assert penny.grams[0] == pytest.approx(grains * 0.06479891)
    assert penny.grams[0] == pytest.approx(grams, rel=2e-5)


@pytest.mark.parametrize("year", [row[0] for row in PENNY if row[0] >= 1351])
@pytest.mark.parametrize(("name", "pence"), [("half groat", 2), ("groat", 4)])
def test_groats_are_so_many_pennies(name: str, pence: int, year: int) -> None:
    assert only(name, year).grams[0] == pytest.approx(pence * only("penny", year).grams[0])


@pytest.mark.parametrize("year", [1351, 1412, 1464, 1526])
@pytest.mark.parametrize(("name", "part"), [("halfpenny", 0.5), ("farthing", 0.25)])
def test_halfpennies_and_farthings_are_parts_of_the_penny(name: str, part: float, year: int) -> None:
    assert only(name, year).grams[0] == pytest.approx(part * only("penny", year).grams[0])


@pytest.mark.parametrize(("name", "year", "grains", "grammes", "least"), SCHEDULE)
def test_milled_coins_weigh_what_the_act_says(name, year, grains, grammes, least) -> None:
    coin = only(name, year, "copper alloy" if name in {"penny", "halfpenny", "farthing"} else "")
    assert coin.grams[0] == pytest.approx(grains * 0.06479891, abs=2e-5)
    if grammes:
        assert coin.grams[0] == pytest.approx(grammes, abs=1e-6)
    if least:
        assert coin.least_g < least * 0.06479891 < coin.most_g


def test_the_silver_penny_of_1816_weighs_what_act_and_table_say() -> None:
    assert only("penny", 1820, "silver").grams[0] == pytest.approx(0.47126, abs=1e-5)


@pytest.mark.parametrize(("name", "year", "grams"), ROMAN)
def test_roman_coins_of_the_usual_weight_raise_no_question(name: str, year: int, grams: float) -> None:
    coin = only(name, year)
    assert coin.grams[0] <= grams <= coin.grams[1]
    assert coin_notes(CoinFacts(name, year, year, Decimal(str(grams)))) == ()


def test_roman_parts_of_the_pound() -> None:
    """TRADE: so many from the pound, which it takes as 327.45 g; the printed grams are rounded to 0.1."""
    for name, year, parts in [
        ("aureus", 0, 42),
        ("aureus", 70, 45),
        ("denarius", -50, 84),
        ("solidus", 400, 72),
    ]:
        assert only(name, year or 1).grams[0] == pytest.approx(327.45 / parts, abs=0.05)
    assert only("denarius", 100).grams[0] == pytest.approx(327.45 / 96, abs=0.05)


@pytest.mark.parametrize(
    ("name", "year", "lighter"),
    [
        ("shilling", 1560, 0.10),  # of Elizabeth, by 10 per cent
        ("shilling", 1605, 0.05),  # of James, by 5
        ("shilling", 1640, 0.04),  # of Charles I, by 4
    ],
)
def test_worn_but_unclipped_coins_that_newton_weighed_raise_no_question(name, year, lighter) -> None:
    """NEW: old hammered unclipped money, lighter than the standard by so much."""
    weight = only(name, year).grams[0] * (1 - lighter)
    assert coin_notes(CoinFacts(name, year, year, Decimal(f"{weight:.2f}"))) == ()


@pytest.mark.parametrize(
    ("year", "silver"), [(1900, 92.5), (1919, 92.5), (1920, 50), (1946, 50), (1947, 0), (1967, 0)]
)
@pytest.mark.parametrize("name", ["sixpence", "shilling", "florin", "half crown", "crown"])
def test_silver_of_modern_coins(name: str, year: int, silver: float) -> None:
    """TRADE (LOI): .925 to 1919, .500 from 1920 to 1946, none from 1947."""
    assert only(name, year).silver == (silver, silver)


def test_sterling_and_the_debasement() -> None:
    """TRADE: sterling from 1158; debased 1544 to 1551 to about a quarter; 11 oz 1 dwt of 12 oz in 1552 (PEN)."""
    assert only("penny", 1158).silver == (92.5, 92.5)
    assert only("penny", 1547).silver == (25, 92.5)
    assert only("penny", 1553).silver[0] == pytest.approx((11 + 1 / 20) / 12 * 100, abs=0.05)
    assert only("penny", 1560).silver == (92.5, 92.5)


def test_every_row_says_how_firm_it_is_and_what_comes_from_memory_says_so() -> None:
    for standard in standards():
        assert standard.mark in MARKS
        assert len(standard.source) > 15
        assert standard.first <= standard.last
        assert standard.first != 0 != standard.last


def test_rows_of_one_kind_leave_no_year_twice() -> None:
    kinds = {}
    for standard in standards():
        kinds.setdefault((standard.title, standard.tolerance.why), []).append((standard.first, standard.last))
    for spans in kinds.values():
        spans.sort()
        assert all(a[1] < b[0] for a, b in itertools.pairwise(spans))
