"""Days, times, sums and lists in plain words."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from tongue import say as _

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

_SYMBOL = {"GBP": "£", "EUR": "€"}


def long_date(day: date) -> str:
    """3 March 2026, whatever the server's language."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def clock(value: time) -> str:
    return f"{value.hour:02d}:{value.minute:02d}"


def money(amount: Decimal, currency: str = "GBP") -> str:
    """£10,000,000 or £2.50: pence only where there are some."""
    if not amount.is_finite():
        return _("an amount not stated")
    digits = f"{amount:,.0f}" if amount == amount.to_integral_value() else f"{amount:,.2f}"
    return f"{_SYMBOL[currency]}{digits}" if currency in _SYMBOL else f"{digits} {currency}"


def listed(words: list[str], last: str = "and") -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""


def only_days(weekdays: frozenset[int]) -> str:
    """Saturdays and Sundays only; or: no day of the week."""
    named = listed([f"{DAYS[n]}s" for n in sorted(weekdays) if 0 <= n < 7])
    return _("%(named)s only") % {"named": named} if named else _("no day of the week")
