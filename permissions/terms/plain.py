"""Days, times, sums and lists in plain words."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from tongue import figure, noop
from tongue import say as _

DAYS = (
    noop("Mondays"), noop("Tuesdays"), noop("Wednesdays"), noop("Thursdays"), noop("Fridays"), noop("Saturdays"),
    noop("Sundays"),
)  # fmt: skip

_MONTHS = (
    noop("January"), noop("February"), noop("March"), noop("April"), noop("May"), noop("June"), noop("July"),
    noop("August"), noop("September"), noop("October"), noop("November"), noop("December"),
)  # fmt: skip

_SYMBOL = {"GBP": "£", "EUR": "€"}


def long_date(day: date) -> str:
    """3 March 2026, in the language spoken now."""
    return f"{day.day} {_(_MONTHS[day.month - 1])} {day.year}"


def clock(value: time) -> str:
    return f"{value.hour:02d}:{value.minute:02d}"


def money(amount: Decimal, currency: str = "GBP") -> str:
    """£10,000,000 or £2.50: pence only where there are some."""
    if not amount.is_finite():
        return _("an amount not stated")
    digits = figure(f"{amount:,.0f}" if amount == amount.to_integral_value() else f"{amount:,.2f}")
    return f"{_SYMBOL[currency]}{digits}" if currency in _SYMBOL else f"{digits} {currency}"


def listed(words: list[str]) -> str:
    if len(words) < 2:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def only_days(weekdays: frozenset[int]) -> str:
    """Saturdays and Sundays only; or: no day of the week."""
    named = listed([_(DAYS[n]) for n in sorted(weekdays) if 0 <= n < 7])
    return _("%(named)s only") % {"named": named} if named else _("no day of the week")
