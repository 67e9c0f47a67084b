"""A reward that an authority pays, shared among those it names; the terms of the agreement do not touch it."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from finds.settlement.model import Reward, Share
from finds.settlement.settle import check_whole
from finds.settlement.value import in_minor_units, split_exactly
from tongue import say as _


def share_reward(case: str, amount: Decimal, shares: Sequence[Share], *, currency: str) -> Reward:
    """Split `amount` as the authority said, or as the parties agreed before: exact, adding up to `amount`.

    Rewards are discretionary (Treasure Act 1996 s.10), so nothing here says that one is owed. Remainders go to the
    earlier of `shares`. Raises SettlementError where the shares do not make 100 per cent or the amount is not positive.
    """
    whole = in_minor_units(amount, currency, what=_("Reward of %(case)s") % {"case": case})
    check_whole(shares, _("the reward of %(case)s") % {"case": case})
    exact = {share.key: Fraction(whole) * Fraction(share.percent) / 100 for share in shares}
    parts = split_exactly(whole, exact, currency, first=[share.key for share in shares])
    return Reward(case, whole, tuple(parts.items()))
