"""Who gets what of the value of finds under an agreement's terms: exact, with its arithmetic. Pure.

The terms are those of `permissions.terms.Sharing`. Amounts are `Decimal` in whole minor units of one currency.
Source: facts/trade.md 1.3, 8 and E13 (trade practice, not law; the written agreement decides).
"""

from finds.settlement.model import (
    Fate,
    Item,
    Kept,
    Line,
    Payment,
    Reward,
    Settlement,
    SettlementError,
    Share,
    Step,
    Valuation,
    Way,
)
from finds.settlement.reward import share_reward
from finds.settlement.settle import check_whole, settle
from finds.settlement.value import agreed_value, exponent_of, in_minor_units, opinions_wanted, split_exactly

__all__ = [
    "Fate",
    "Item",
    "Kept",
    "Line",
    "Payment",
    "Reward",
    "Settlement",
    "SettlementError",
    "Share",
    "Step",
    "Valuation",
    "Way",
    "agreed_value",
    "check_whole",
    "exponent_of",
    "in_minor_units",
    "opinions_wanted",
    "settle",
    "share_reward",
    "split_exactly",
]
