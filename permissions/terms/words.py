"""Terms in plain English sentences, for the agreement and for pages."""

from __future__ import annotations

from typing import NamedTuple

from permissions.terms.model import (
    Capacity,
    DogRule,
    Findspot,
    LivestockRule,
    Photographs,
    Terms,
    WhoMay,
)
from permissions.terms.plain import clock, listed, money, only_days
from permissions.terms.sharing_words import sharing_in_words
from tongue import say as _


class Clause(NamedTuple):
    topic: str
    words: str


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
        _("Only the people named in this agreement")
        if t.who is WhoMay.NAMED_ONLY
        else _("Any current member of the club")
    )
    out = [Clause("People", _("%(who)s may search.") % {"who": who})]
    out.append(
        Clause(
            "Guests",
            _("Guests of members %(value)s search.") % {"value": _("may") if t.guests else _("may not")},
        )
    )
    out.append(
        Clause(
            "Juniors",
            _("Juniors %(value)s.")
            % {"value": _("may come with a responsible adult") if t.juniors else _("may not come")},
        )
    )
    if t.minimum_age is not None:
        out.append(
            Clause(
                "Juniors", _("Nobody under %(t_minimum_age)s may come.") % {"t_minimum_age": t.minimum_age}
            )
        )
    if t.max_heads is not None:
        out.append(
            Clause(
                "Heads",
                _("At most %(t_max_heads)s %(people_word)s on one visit.")
                % {"t_max_heads": t.max_heads, "people_word": _people_word(t.max_heads)},
            )
        )
    return out


def _people_word(count: int) -> str:
    return "person" if count == 1 else "people"


def _times(t: Terms) -> list[Clause]:
    days = (
        _("on any day of the week")
        if t.weekdays is None
        else _("on %(only_days)s") % {"only_days": only_days(t.weekdays)}
    )
    hours = [_("not before %(clock)s") % {"clock": clock(t.hours_from)}] if t.hours_from else []
    hours += [_("not after %(clock)s") % {"clock": clock(t.hours_to)}] if t.hours_to else []
    return [
        Clause(
            _("Days and hours"), _("Searching is allowed %(listed)s.") % {"listed": listed([days, *hours])}
        )
    ]


def _notice(t: Terms) -> list[Clause]:
    if t.notice_hours is None:
        return [Clause("Notice", _("No notice is needed before a visit."))]
    to = listed(
        [
            _("the %(capacity_name)s") % {"capacity_name": capacity_name(c)}
            for c in Capacity
            if c in t.notice_to
        ]
    ) or _("the landholders")
    return [
        Clause(
            "Notice",
            _("The club tells %(to)s at least %(t_notice_hours)s hours before each visit.")
            % {"to": to, "t_notice_hours": t.notice_hours},
        )
    ]


def _vehicles(t: Terms) -> list[Clause]:
    if t.max_vehicles is None:
        return [
            Clause("Vehicles", _("Vehicles park where the landholder asks; their number is not limited."))
        ]
    if t.max_vehicles == 0:
        return [Clause("Vehicles", _("No vehicles are brought on to the land."))]
    return [
        Clause(
            "Vehicles",
            _("At most %(t_max_vehicles)s vehicle%(value)s on the land.")
            % {"t_max_vehicles": t.max_vehicles, "value": "s" if t.max_vehicles > 1 else ""},
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
        out.append(
            Clause(
                "Depth",
                _("No hole is dug deeper than %(t_depth_limit_cm)s cm.")
                % {"t_depth_limit_cm": t.depth_limit_cm},
            )
        )
    return out


def _sharing_clauses(t: Terms) -> list[Clause]:
    fee = (
        _("%(money)s a head for each visit.") % {"money": money(t.fee_per_head, t.currency)}
        if t.fee_per_head
        else _("No fee is paid.")
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
    words = _(
        "Findspots are shown to the landholder %(findspot)s, to other members %(value)s and to the "
        "public %(findspot2)s."
    ) % {
        "findspot": _FINDSPOT[t.findspot_landholder],
        "value": _FINDSPOT[t.findspot_members],
        "findspot2": _FINDSPOT[t.findspot_public],
    }
    return [Clause("Findspots", words), Clause("Photographs", _PHOTOS[t.photographs])]


def _rest(t: Terms) -> list[Clause]:
    floor = (
        _(" of at least %(money)s") % {"money": money(t.insurance_floor, t.currency)}
        if t.insurance_floor is not None
        else ""
    )
    out = [
        Clause(
            "Insurance",
            _("Everybody who searches holds public liability cover%(floor)s on the day.") % {"floor": floor},
        )
    ]
    if t.termination_days is None:
        return [*out, Clause("Ending", _("The landholder may end this agreement at any time."))]
    return [
        *out,
        Clause(
            "Ending",
            _("Either side may end this agreement with %(t_termination_days)s days' notice.")
            % {"t_termination_days": t.termination_days},
        ),
    ]
