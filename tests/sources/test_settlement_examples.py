"""Worked settlements. Source: facts/trade.md E13 (trade practice; derived figures), 1.3 and 8."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from finds.settlement import Fate, Item, Settlement, Share, Valuation, settle
from permissions.terms import Per, Sharing, Threshold, Whole

OWNER = [Share("owner", "The owner", Decimal(100))]


def worth(value: str) -> tuple[Valuation, ...]:
    figure = Decimal(value)
    return tuple(Valuation(date(2026, 3, 1), who, "looked at it", figure, figure) for who in ("Voss", "Hale"))


def sheet(value: str, **terms: Any) -> Settlement:
    item = Item("26-0001", "finder", valuations=worth(value))
    return settle([item], terms=Sharing(**terms), landholders=OWNER, currency="GBP")


def due(value: str, **terms: Any) -> dict[str, Decimal]:
    return dict(sheet(value, **terms).due)


def test_whole_value_of_1800_above_500_is_halved() -> None:
    assert due("1800") == {"finder": Decimal(900), "owner": Decimal(900)}


def test_only_the_excess_of_1800_above_500_is_halved() -> None:
    assert due("1800", rule=Whole.EXCESS_ONLY) == {"finder": Decimal(1150), "owner": Decimal(650)}


def test_the_organisers_tenth_comes_off_first() -> None:
    assert due("1800", organiser_percent=Decimal(10)) == {
        "organiser": Decimal(180), "finder": Decimal(810), "owner": Decimal(810),
    }  # fmt: skip


@pytest.mark.parametrize("wording", list(Threshold))
def test_a_penny_below_the_threshold_nothing_is_due(wording: Threshold) -> None:
    assert due("499.99", wording=wording) == {"finder": Decimal("499.99")}


def test_exactly_500_is_not_shared_where_it_reads_more_than() -> None:
    assert due("500", wording=Threshold.OVER) == {"finder": Decimal(500)}


def test_exactly_500_is_shared_where_it_reads_500_or_more() -> None:
    assert due("500", wording=Threshold.AT_LEAST) == {"finder": Decimal(250), "owner": Decimal(250)}


def test_exactly_500_leaves_no_excess_even_where_it_is_reached() -> None:
    answer = due("500", wording=Threshold.AT_LEAST, rule=Whole.EXCESS_ONLY)
    assert answer == {"finder": Decimal(500)}


@pytest.mark.parametrize(("wording", "owner"), [(Threshold.OVER, "250.00"), (Threshold.AT_LEAST, "250.00")])
def test_a_penny_above_both_wordings_share_and_the_odd_penny_is_the_landholders(
    wording: Threshold, owner: str
) -> None:
    shares = due("500.01", wording=wording)
    assert shares == {"owner": Decimal(owner) + Decimal("0.01"), "finder": Decimal("250.00")}


def test_the_finder_buys_the_landholder_out_at_half_the_valuation() -> None:
    """trade.md 8: "one buys the other out at half valuation"."""
    (payment,) = sheet("1800").payments
    assert (payment.payer, payment.payee, payment.amount) == ("finder", "owner", Decimal(900))


def test_the_landholder_buys_the_finder_out_at_half_the_valuation() -> None:
    item = Item("26-0001", "finder", fate=Fate.LANDHOLDER_KEEPS, valuations=worth("1800"))
    answer = settle([item], terms=Sharing(), landholders=OWNER, currency="GBP")
    assert [(p.payer, p.payee, p.amount) for p in answer.payments] == [("owner", "finder", Decimal(900))]


@pytest.mark.parametrize(
    ("per", "owner"), [(Per.OBJECT, None), (Per.GROUP, Decimal(400)), (Per.HUNT, Decimal(550))]
)
def test_the_threshold_counts_per_object_per_group_or_per_hunt(per: Per, owner: Decimal | None) -> None:
    """trade.md 1.3 leaves it open per object, per hoard or per day: 300, 500 and 300 count differently."""
    items = [
        Item("26-0001", "finder", hunt="H1", group="G1", valuations=worth("300")),
        Item("26-0002", "finder", hunt="H1", group="G1", valuations=worth("500")),
        Item("26-0003", "finder", hunt="H1", valuations=worth("300")),
    ]
    answer = settle(items, terms=Sharing(per=per), landholders=OWNER, currency="GBP")
    assert dict(answer.due).get("owner") == owner
