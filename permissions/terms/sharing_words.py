"""How what was found is shared, in one or two sentences."""

from __future__ import annotations

from decimal import Decimal

from permissions.terms.model import (
    Per,
    Sharing,
    Threshold,
    Whole,
)
from permissions.terms.plain import money
from tongue import figure, noop
from tongue import say as _

_PER = {
    Per.OBJECT: noop("an object"),
    Per.GROUP: noop("a group of objects found together"),
    Per.HUNT: noop("everything from one hunt"),
}


def sharing_in_words(s: Sharing, currency: str = "GBP") -> str:
    """A sentence that leaves no doubt about the amount itself. Source of the doubts: facts/trade.md 1.3."""
    amount = money(s.threshold, currency)
    when = (
        _("more than %(amount)s") % {"amount": amount}
        if s.wording is Threshold.OVER
        else _("%(amount)s or more") % {"amount": amount}
    )
    what = (
        _("the whole value")
        if s.rule is Whole.WHOLE_VALUE
        else _("only the part above %(amount)s") % {"amount": amount}
    )
    first = (
        _("After the organiser's %(percent)s, ") % {"percent": _percent(s.organiser_percent)}
        if s.organiser_percent
        else ""
    )
    share = _percent(s.landholder_percent)
    body = _("when %(per)s is worth %(when)s, %(what)s is shared: %(share)s to the landholder") % {
        "per": _(_PER[s.per]),
        "when": when,
        "what": what,
        "share": share,
    }
    return first + (body if first else body[0].upper() + body[1:]) + _(" and the rest to the finder.")


def _percent(value: Decimal) -> str:
    return f"{figure(f'{value.normalize():f}')}%" if value.is_finite() else _("share not stated")
