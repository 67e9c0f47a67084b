"""One value from several opinions, minor units of a currency, and splitting an amount without losing a penny."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from finds.settlement.model import Item, SettlementError, Valuation, Way
from permissions.terms import Sharing, Threshold
from tongue import figure
from tongue import say as _

# ISO 4217 minor units, of the currencies of the places whose law packs ship and those that have none or three.
# From memory, and the same as the standard's list: two places unless said here.
EXPONENTS = {
    "ISK": 0,
    "JPY": 0,
    "KRW": 0,
    "CLP": 0,
    "VND": 0,
    "BHD": 3,
    "JOD": 3,
    "KWD": 3,
    "OMR": 3,
    "TND": 3,
}

REMAINDER_RULE = (
    "Each part is worked out exactly and cut to whole pennies or cents (the smallest unit of the currency); what is "
    "left over goes, one such unit at a time, to the parts that lost most by cutting, the landholder first where two "
    "lost the same."
)


def exponent_of(currency: str) -> int:
    """How many decimal places the currency has: 2 for GBP, 0 for ISK. Raises SettlementError for no ISO 4217 code."""
    if len(currency) != 3 or not currency.isalpha() or not currency.isupper():
        raise SettlementError(
            _("“%(currency)s” is no currency code; give three capital letters such as GBP or EUR.")
            % {"currency": currency}
        )
    return EXPONENTS.get(currency, 2)


def in_minor_units(amount: Decimal, currency: str, *, what: str) -> Decimal:
    """`amount` as it stands, if it is a positive whole number of minor units; else SettlementError naming `what`."""
    if not amount.is_finite():
        raise SettlementError(_("%(what)s: %(amount)s is not an amount.") % {"what": what, "amount": amount})
    if amount <= 0:
        raise SettlementError(
            _(
                "%(what)s: a value of %(amount)s cannot be shared. Give what it is worth, or say that it "
                "was scrapped or given away."
            )
            % {"what": what, "amount": amount}
        )
    unit = Decimal(1).scaleb(-exponent_of(currency))
    if amount != amount.quantize(unit):
        raise SettlementError(
            _("%(what)s: %(amount)s is finer than the currency; give it to %(unit)s %(currency)s.")
            % {"what": what, "amount": amount, "unit": unit, "currency": currency}
        )
    return amount.quantize(unit)


def agreed_value(item: Item, currency: str, way: Way) -> Decimal:
    """The value of `item`: its price where it was sold, else the mean or the median of its valuations.

    A valuation from low to high counts as its middle. Half a minor unit is rounded up.
    Raises SettlementError where there is no value, a value is not positive, or low is above high.
    """
    if item.price is not None:
        return in_minor_units(item.price, currency, what=_("%(item_ref)s, price") % {"item_ref": item.ref})
    if not item.valuations:
        raise SettlementError(
            _("%(item_ref)s has no valuation; add one, or say that it was given away or scrapped.")
            % {"item_ref": item.ref}
        )
    middles = [_middle(item.ref, valuation, currency) for valuation in item.valuations]
    chosen = statistics.median(middles) if way is Way.MEDIAN else sum(middles, Fraction(0)) / len(middles)
    return _rounded(Fraction(chosen), currency)


def _middle(ref: str, valuation: Valuation, currency: str) -> Fraction:
    what = _("%(ref)s, valuation by %(value)s") % {"ref": ref, "value": valuation.valuer or _("nobody named")}
    low = in_minor_units(valuation.low, currency, what=what)
    high = in_minor_units(valuation.high, currency, what=what)
    if high < low:
        raise SettlementError(
            _("%(what)s: %(low)s is above %(high)s; give the lower figure first.")
            % {"what": what, "low": low, "high": high}
        )
    return (Fraction(low) + Fraction(high)) / 2


def _rounded(exact: Fraction, currency: str) -> Decimal:
    unit = Decimal(1).scaleb(-exponent_of(currency))
    scaled = exact * 10 ** exponent_of(currency)
    whole = (Decimal(scaled.numerator) / Decimal(scaled.denominator)).quantize(Decimal(1), ROUND_HALF_UP)
    return max(whole, Decimal(1)) * unit


def is_shared(value: Decimal, terms: Sharing) -> bool:
    """Has `value` reached the threshold, as the agreement words it: more than, or at least?"""
    return value >= terms.threshold if terms.wording is Threshold.AT_LEAST else value > terms.threshold


def opinions_wanted(item: Item, value: Decimal, terms: Sharing) -> str:
    """A warning where one opinion alone stands above the threshold, else empty. Common practice (trade.md 8)."""
    if item.price is None and len(item.valuations) < 2 and is_shared(value, terms):
        return _("%(item_ref)s is above the threshold on one opinion alone; two or more are usual.") % {
            "item_ref": item.ref
        }
    return ""


def split_exactly(
    total: Decimal, parts: Mapping[str, Fraction], currency: str, *, first: Sequence[str] = ()
) -> dict[str, Decimal]:
    """Whole minor units for each of `parts` (exact amounts that add up to `total`), adding up to `total`.

    Largest remainder first; of equal remainders those in `first` come first, then the order of `parts`.
    Raises SettlementError where the parts do not add up to the total.
    """
    if sum(parts.values(), Fraction(0)) != Fraction(total):
        raise SettlementError(
            _("The parts add up to %(sum)s, not to %(total)s.")
            % {"sum": figure(f"{float(sum(parts.values())):.2f}"), "total": total}
        )
    scale = 10 ** exponent_of(currency)
    cut = {key: (exact * scale).__floor__() for key, exact in parts.items()}
    left = int(total * scale) - sum(cut.values())
    order = list(parts)
    by_loss = sorted(
        order, key=lambda key: (cut[key] - parts[key] * scale, key not in first, order.index(key))
    )
    for key in by_loss[:left]:
        cut[key] += 1
    unit = Decimal(1).scaleb(-exponent_of(currency))
    return {key: Decimal(amount) * unit for key, amount in cut.items()}
