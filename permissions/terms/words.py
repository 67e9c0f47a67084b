"""Terms in plain English sentences, for the agreement and for pages."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from typing import NamedTuple

from permissions.terms.model import (
    Capacity,
    DogRule,
    Findspot,
    LivestockRule,
    Per,
    Photographs,
    Sharing,
    Terms,
    Threshold,
    Whole,
    WhoMay,
)

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


class Clause(NamedTuple):
    topic: str
    words: str


def long_date(day: date) -> str:
    """3 March 2026, whatever the server's language."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def clock(value: time) -> str:
    return f"{value.hour:02d}:{value.minute:02d}"


def money(amount: Decimal, currency: str = "GBP") -> str:
    """£10,000,000 or £2.50: pence only where there are some."""
    if not amount.is_finite():
        return "an amount not stated"
    digits = f"{amount:,.0f}" if amount == amount.to_integral_value() else f"{amount:,.2f}"
    return f"{_SYMBOL[currency]}{digits}" if currency in _SYMBOL else f"{digits} {currency}"


def listed(words: list[str], last: str = "and") -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""


def only_days(weekdays: frozenset[int]) -> str:
    """Saturdays and Sundays only; or: no day of the week."""
    named = listed([f"{DAYS[n]}s" for n in sorted(weekdays) if 0 <= n < 7])
    return f"{named} only" if named else "no day of the week"


def capacity_name(capacity: Capacity) -> str:
    return {"sporting_tenant": "sporting tenant", "informed_only": "others to be informed"}.get(
        capacity, capacity.value
    )


def clauses(terms: Terms) -> tuple[Clause, ...]:
    """Every term as one clause with its topic; topics follow facts/trade.md 1.2."""
    parts = (_people, _times, _notice, _vehicles, _stock_and_ground, _sharing_clauses, _secrecy, _rest)
    return tuple(clause for part in parts for clause in part(terms))


def in_words(terms: Terms) -> tuple[str, ...]:
    return tuple(clause.words for clause in clauses(terms))


def _people(t: Terms) -> list[Clause]:
    who = (
        "Only the people named in this agreement"
        if t.who is WhoMay.NAMED_ONLY
        else "Any current member of the club"
    )
    out = [Clause("People", f"{who} may search.")]
    out.append(Clause("Guests", f"Guests of members {'may' if t.guests else 'may not'} search."))
    out.append(
        Clause("Juniors", f"Juniors {'may come with a responsible adult' if t.juniors else 'may not come'}.")
    )
    if t.minimum_age is not None:
        out.append(Clause("Juniors", f"Nobody under {t.minimum_age} may come."))
    if t.max_heads is not None:
        out.append(Clause("Heads", f"At most {t.max_heads} {_people_word(t.max_heads)} on one visit."))
    return out


def _people_word(count: int) -> str:
    return "person" if count == 1 else "people"


def _times(t: Terms) -> list[Clause]:
    days = "on any day of the week" if t.weekdays is None else f"on {only_days(t.weekdays)}"
    hours = [f"not before {clock(t.hours_from)}"] if t.hours_from else []
    hours += [f"not after {clock(t.hours_to)}"] if t.hours_to else []
    return [Clause("Days and hours", f"Searching is allowed {listed([days, *hours])}.")]


def _notice(t: Terms) -> list[Clause]:
    if t.notice_hours is None:
        return [Clause("Notice", "No notice is needed before a visit.")]
    to = listed([f"the {capacity_name(c)}" for c in Capacity if c in t.notice_to]) or "the landholders"
    return [Clause("Notice", f"The club tells {to} at least {t.notice_hours} hours before each visit.")]


def _vehicles(t: Terms) -> list[Clause]:
    if t.max_vehicles is None:
        return [Clause("Vehicles", "Vehicles park where the landholder asks; their number is not limited.")]
    if t.max_vehicles == 0:
        return [Clause("Vehicles", "No vehicles are brought on to the land.")]
    return [
        Clause(
            "Vehicles", f"At most {t.max_vehicles} vehicle{'s' if t.max_vehicles > 1 else ''} on the land."
        )
    ]


_STOCK = {
    LivestockRule.ALLOWED: "Searching is allowed while livestock is in the field.",
    LivestockRule.ASK_FIRST: "The club asks before searching a field with livestock in it.",
    LivestockRule.NOT_WITH: "No searching while livestock is in the field.",
}
_DOGS = {DogRule.ALLOWED: "Dogs may come.", DogRule.ON_LEAD: "Dogs on a lead only.", DogRule.NONE: "No dogs."}


def _stock_and_ground(t: Terms) -> list[Clause]:
    note = f" {t.livestock_note.rstrip('.')}." if t.livestock_note else ""
    out = [Clause("Livestock", _STOCK[t.livestock] + note), Clause("Dogs", _DOGS[t.dogs])]
    if t.depth_limit_cm is not None:
        out.append(Clause("Depth", f"No hole is dug deeper than {t.depth_limit_cm} cm."))
    return out


_PER = {
    Per.OBJECT: "an object",
    Per.GROUP: "a group of objects found together",
    Per.HUNT: "everything from one hunt",
}


def sharing_in_words(s: Sharing, currency: str = "GBP") -> str:
    """A sentence that leaves no doubt about the amount itself. Source of the doubts: facts/trade.md 1.3."""
    amount = money(s.threshold, currency)
    when = f"more than {amount}" if s.wording is Threshold.OVER else f"{amount} or more"
    what = "the whole value" if s.rule is Whole.WHOLE_VALUE else f"only the part above {amount}"
    first = f"After the organiser's {_percent(s.organiser_percent)}, " if s.organiser_percent else ""
    share = _percent(s.landholder_percent)
    body = f"when {_PER[s.per]} is worth {when}, {what} is shared: {share} to the landholder"
    return first + (body if first else body[0].upper() + body[1:]) + " and the rest to the finder."


def _percent(value: Decimal) -> str:
    return f"{value.normalize():f}%" if value.is_finite() else "share not stated"


def _sharing_clauses(t: Terms) -> list[Clause]:
    fee = (
        f"{money(t.fee_per_head, t.currency)} a head for each visit." if t.fee_per_head else "No fee is paid."
    )
    return [Clause("Fee", fee), Clause("Sharing", sharing_in_words(t.sharing, t.currency))]


_FINDSPOT = {
    Findspot.FULL: "in full",
    Findspot.SQUARE_100_M: "to their 100 m square",
    Findspot.SQUARE_1_KM: "to their 1 km square",
    Findspot.PARISH: "by parish only",
    Findspot.WITHHELD: "not at all",
}
_PHOTOS = {
    Photographs.FREE: "Photographs of finds and of the day may be published.",
    Photographs.NO_PLACES: "Photographs of finds may be published, without anything that shows the place.",
    Photographs.ASK_FIRST: "Nothing is published before the landholder has agreed to it.",
    Photographs.NONE: "No photographs are published.",
}


def _secrecy(t: Terms) -> list[Clause]:
    words = (
        f"Findspots are shown to the landholder {_FINDSPOT[t.findspot_landholder]}, to other members "
        f"{_FINDSPOT[t.findspot_members]} and to the public {_FINDSPOT[t.findspot_public]}."
    )
    return [Clause("Findspots", words), Clause("Photographs", _PHOTOS[t.photographs])]


def _rest(t: Terms) -> list[Clause]:
    floor = f" of at least {money(t.insurance_floor, t.currency)}" if t.insurance_floor is not None else ""
    out = [Clause("Insurance", f"Everybody who searches holds public liability cover{floor} on the day.")]
    if t.termination_days is None:
        return [*out, Clause("Ending", "The landholder may end this agreement at any time.")]
    return [
        *out,
        Clause("Ending", f"Either side may end this agreement with {t.termination_days} days' notice."),
    ]
