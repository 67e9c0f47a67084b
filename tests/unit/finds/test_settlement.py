"""Settling keeps every penny, pays everybody exactly, and names what cannot be settled with its remedy."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finds.settlement import (
    Fate,
    Item,
    SettlementError,
    Share,
    Valuation,
    Way,
    agreed_value,
    exponent_of,
    settle,
    share_reward,
    split_exactly,
)
from permissions.terms import Per, Sharing, Threshold, Whole

ONE = [Share("owner", "Ann Hale", Decimal(100))]
TWO = [Share("owner", "Ann Hale", Decimal(60)), Share("occupier", "Tom Reed", Decimal(40))]
PENCE = st.integers(1, 10_000_000).map(lambda pence: Decimal(pence) / 100)
PERCENT = st.integers(0, 10_000).map(lambda n: Decimal(n) / 100)
TERMS = st.builds(
    Sharing,
    landholder_percent=PERCENT,
    threshold=st.integers(0, 200_000).map(lambda pence: Decimal(pence) / 100),
    wording=st.sampled_from(Threshold),
    rule=st.sampled_from(Whole),
    per=st.sampled_from(Per),
    organiser_percent=PERCENT,
)


def opinion(low: str | Decimal, high: str | Decimal | None = None, valuer: str = "Voss") -> Valuation:
    return Valuation(date(2026, 3, 1), valuer, "by eye", Decimal(low), Decimal(low if high is None else high))


def item(value: str | Decimal, ref: str = "26-0001", finder: str = "finder", **more: Any) -> Item:
    return Item(ref, finder, valuations=(opinion(value), opinion(value)), **more)


@st.composite
def items(draw: st.DrawFn) -> list[Item]:
    count = draw(st.integers(1, 6))
    return [
        item(
            draw(PENCE),
            f"26-{n:04d}",
            finder=draw(st.sampled_from(["f1", "f2"])),
            hunt=draw(st.sampled_from(["", "H1", "H2"])),
            group=draw(st.sampled_from(["", "G1"])),
            fate=draw(st.sampled_from(list(Fate))),
            keeper="occupier",
            waived=draw(st.booleans()),
        )
        for n in range(count)
    ]


@given(items(), TERMS)
def test_parts_of_each_line_add_up_to_its_value(rows: list[Item], terms: Sharing) -> None:
    answer = settle(rows, terms=terms, landholders=TWO, currency="GBP")
    for line in answer.lines:
        assert sum(amount for _, amount in line.parts) == line.value
        assert all(amount >= 0 for _, amount in line.parts)


@given(items(), TERMS)
def test_what_is_due_is_what_is_held_and_payments_make_it_even(rows: list[Item], terms: Sharing) -> None:
    answer = settle(rows, terms=terms, landholders=TWO, currency="GBP")
    due, held = dict(answer.due), dict(answer.held)
    assert sum(due.values()) == sum(held.values()) == answer.total
    for payment in answer.payments:
        assert payment.amount > 0
        held[payment.payer] = held.get(payment.payer, Decimal(0)) - payment.amount
        held[payment.payee] = held.get(payment.payee, Decimal(0)) + payment.amount
    assert {key: amount for key, amount in held.items() if amount} == {k: v for k, v in due.items() if v}


@given(items(), TERMS)
def test_every_object_is_in_a_line_or_listed_apart(rows: list[Item], terms: Sharing) -> None:
    answer = settle(rows, terms=terms, landholders=TWO, currency="GBP")
    told = [ref for line in answer.lines for ref in line.refs] + [ref for ref, _ in answer.apart]
    assert sorted(told) == sorted(row.ref for row in rows)


@given(PENCE, PENCE, TERMS)
def test_the_landholder_never_loses_by_a_higher_value(one: Decimal, other: Decimal, terms: Sharing) -> None:
    low, high = sorted((one, other))
    shares = [dict(settle([item(v)], terms=terms, landholders=ONE, currency="GBP").due) for v in (low, high)]
    # A penny of rounding may fall to another side; the exact parts never shrink.
    assert shares[1].get("owner", Decimal(0)) >= shares[0].get("owner", Decimal(0)) - Decimal("0.01")


@given(PENCE, st.lists(st.integers(0, 50), min_size=1, max_size=6).filter(any))
def test_splitting_loses_nothing_and_cuts_less_than_a_penny(total: Decimal, weights: list[int]) -> None:
    exact = {str(n): Fraction(total) * weight / sum(weights) for n, weight in enumerate(weights)}
    parts = split_exactly(total, exact, "GBP")
    assert sum(parts.values()) == total
    assert all(abs(Fraction(parts[key]) - exact[key]) < Fraction(1, 100) for key in parts)


def test_a_third_each_gives_the_odd_penny_to_the_first_named() -> None:
    thirds = {key: Fraction(10, 3) for key in ("a", "b", "c")}
    assert split_exactly(Decimal(10), thirds, "GBP", first=["b"]) == {
        "a": Decimal("3.33"), "b": Decimal("3.34"), "c": Decimal("3.33"),
    }  # fmt: skip


def test_several_landholders_share_their_side_as_they_agreed() -> None:
    due = dict(settle([item("1000")], terms=Sharing(), landholders=TWO, currency="GBP").due)
    assert due == {"owner": Decimal(300), "occupier": Decimal(200), "finder": Decimal(500)}


def test_finders_share_by_the_worth_of_what_each_found() -> None:
    rows = [item("600", finder="f1", hunt="H"), item("300", "26-0002", finder="f2", hunt="H")]
    due = dict(settle(rows, terms=Sharing(per=Per.HUNT), landholders=ONE, currency="GBP").due)
    assert due == {"owner": Decimal(450), "f1": Decimal(300), "f2": Decimal(150)}


def test_money_from_a_sale_pays_everybody_and_leaves_nothing() -> None:
    sold = Item("26-0001", "finder", fate=Fate.SOLD, price=Decimal("800.01"))
    answer = settle([sold], terms=Sharing(), landholders=ONE, currency="GBP")
    paid = {(p.payer, p.payee): p.amount for p in answer.payments}
    assert paid == {("proceeds", "owner"): Decimal("400.01"), ("proceeds", "finder"): Decimal("400.00")}


def test_the_price_stands_in_for_opinions_and_needs_no_second() -> None:
    sold = Item("26-0001", "finder", fate=Fate.SOLD, price=Decimal(900), valuations=(opinion("2000"),))
    answer = settle([sold], terms=Sharing(), landholders=ONE, currency="GBP")
    assert (answer.total, answer.warnings) == (Decimal(900), ())


def test_one_opinion_above_the_threshold_is_warned_about() -> None:
    answer = settle(
        [Item("26-0001", "f", valuations=(opinion("501"),))], terms=Sharing(), landholders=ONE, currency="GBP"
    )
    assert "26-0001" in answer.warnings[0]


@pytest.mark.parametrize(("way", "value"), [(Way.MEAN, "200.00"), (Way.MEDIAN, "150.00")])
def test_several_opinions_are_averaged_or_their_median_taken(way: Way, value: str) -> None:
    several = Item("26-0001", "f", valuations=(opinion("100"), opinion("140", "160"), opinion("350")))
    assert agreed_value(several, "GBP", way) == Decimal(value)


def test_half_a_penny_in_the_middle_of_an_opinion_is_rounded_up() -> None:
    assert agreed_value(Item("x", "f", valuations=(opinion("1.00", "1.01"),)), "GBP", Way.MEAN) == Decimal(
        "1.01"
    )


@pytest.mark.parametrize(("code", "places"), [("GBP", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_minor_units_are_those_of_the_currency(code: str, places: int) -> None:
    """ISO 4217 minor units: from memory."""
    assert exponent_of(code) == places


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (Item("26-0009", "f"), "26-0009 has no valuation"),
        (Item("26-0009", "f", valuations=(opinion("0"),)), "a value of 0 cannot be shared"),
        (Item("26-0009", "f", valuations=(opinion("-5"),)), "a value of -5 cannot be shared"),
        (Item("26-0009", "f", valuations=(opinion("NaN"),)), "NaN is not an amount"),
        (Item("26-0009", "f", valuations=(opinion("9", "4"),)), "9.00 is above 4.00"),
        (Item("26-0009", "f", valuations=(opinion("1.005"),)), "1.005 is finer than the currency"),
        (Item("26-0009", "f", fate=Fate.SOLD, price=Decimal("0.001")), "finer than the currency"),
    ],
)
def test_what_cannot_be_settled_is_named_with_its_remedy(row: Item, words: str) -> None:
    with pytest.raises(SettlementError, match=words):
        settle([row], terms=Sharing(), landholders=ONE, currency="GBP")


@pytest.mark.parametrize(
    ("shares", "words"),
    [
        ([Share("o", "Ann", Decimal(60)), Share("t", "Tom", Decimal(30))], "add up to 90 %, not 100 %"),
        ([Share("o", "Ann", Decimal(120)), Share("t", "Tom", Decimal(-20))], "share of Tom is -20 %"),
        ([Share("o", "Ann", Decimal("NaN"))], "share of Ann is NaN %"),
        ([], "add up to 0 %"),
    ],
)
def test_shares_that_do_not_make_a_whole_are_refused(shares: list[Share], words: str) -> None:
    with pytest.raises(SettlementError, match=words):
        settle([item("600")], terms=Sharing(), landholders=shares, currency="GBP")


@pytest.mark.parametrize(
    ("terms", "words"),
    [
        (Sharing(landholder_percent=Decimal(101)), "landholder's share is 101 %"),
        (Sharing(organiser_percent=Decimal(-1)), "organiser's part is -1 %"),
        (Sharing(landholder_percent=Decimal("sNaN")), "landholder's share is sNaN %"),
        (Sharing(threshold=Decimal(-1)), "threshold of -1"),
        (Sharing(threshold=Decimal("NaN")), "threshold of NaN"),
    ],
)
def test_terms_outside_their_range_are_refused(terms: Sharing, words: str) -> None:
    with pytest.raises(SettlementError, match=words):
        settle([item("600")], terms=terms, landholders=ONE, currency="GBP")


def test_an_object_stands_on_a_sheet_once() -> None:
    with pytest.raises(SettlementError, match="26-0001 stands on the sheet twice"):
        settle([item("600"), item("600")], terms=Sharing(), landholders=ONE, currency="GBP")


def test_it_must_be_said_which_landholder_keeps_it() -> None:
    kept = item("600", fate=Fate.LANDHOLDER_KEEPS)
    with pytest.raises(SettlementError, match="say with whom: Ann Hale or Tom Reed"):
        settle([kept], terms=Sharing(), landholders=TWO, currency="GBP")


def test_a_reward_is_split_as_said_and_adds_up() -> None:
    parts = dict(share_reward("C-1", Decimal("1000.01"), TWO, currency="GBP").parts)
    assert parts == {"owner": Decimal("600.01"), "occupier": Decimal("400.00")}


def test_a_reward_whose_shares_do_not_make_a_whole_is_refused() -> None:
    with pytest.raises(SettlementError, match="shares of the reward of C-1 add up to 60 %"):
        share_reward("C-1", Decimal(1000), TWO[:1], currency="GBP")
