"""Terms in plain English sentences, for the agreement and for pages."""

from __future__ import annotations

from typing import NamedTuple

from permissions.terms.model import (
    Capacity,
    DogRule,
    LivestockRule,
    Terms,
    WhoMay,
)
from permissions.terms.names import FINDSPOT, PHOTOS
from permissions.terms.plain import clock, listed, money, only_days
from permissions.terms.sharing_words import sharing_in_words
from tongue import noop, say_many
from tongue import say as _


class Clause(NamedTuple):
    topic: str
    words: str


_CAPACITIES = {
    Capacity.OWNER: noop("owner"),
    Capacity.OCCUPIER: noop("occupier"),
    Capacity.AGENT: noop("agent"),
    Capacity.SPORTING_TENANT: noop("sporting tenant"),
    Capacity.INFORMED_ONLY: noop("others to be informed"),
}


def capacity_name(capacity: Capacity) -> str:
    return _(_CAPACITIES[capacity])


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
            _("Guests of members may search.") if t.guests else _("Guests of members may not search."),
        )
    )
    out.append(
        Clause(
            "Juniors",
            _("Juniors may come with a responsible adult.") if t.juniors else _("Juniors may not come."),
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
                say_many(
                    "At most %(count)s person on one visit.",
                    "At most %(count)s people on one visit.",
                    t.max_heads,
                )
                % {"count": t.max_heads},
            )
        )
    return out


def _times(t: Terms) -> list[Clause]:
    days = (
        _("on any day of the week")
        if t.weekdays is None
        else _("on %(only_days)s") % {"only_days": only_days(t.weekdays)}
    )
    hours = [_("not before %(clock)s") % {"clock": clock(t.hours_from)}] if t.hours_from else []
    hours += [_("not after %(clock)s") % {"clock": clock(t.hours_to)}] if t.hours_to else []
    return [
        Clause("Days and hours", _("Searching is allowed %(listed)s.") % {"listed": listed([days, *hours])})
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
            say_many(
                "At most %(count)s vehicle on the land.",
                "At most %(count)s vehicles on the land.",
                t.max_vehicles,
            )
            % {"count": t.max_vehicles},
        )
    ]


_STOCK = {
    LivestockRule.ALLOWED: noop("Searching is allowed while livestock is in the field."),
    LivestockRule.ASK_FIRST: noop("The club asks before searching a field with livestock in it."),
    LivestockRule.NOT_WITH: noop("No searching while livestock is in the field."),
}
_DOGS = {
    DogRule.ALLOWED: noop("Dogs may come."),
    DogRule.ON_LEAD: noop("Dogs on a lead only."),
    DogRule.NONE: noop("No dogs."),
}


def _stock_and_ground(t: Terms) -> list[Clause]:
    note = f" {t.livestock_note.rstrip('.')}." if t.livestock_note else ""
    out = [Clause("Livestock", _(_STOCK[t.livestock]) + note), Clause("Dogs", _(_DOGS[t.dogs]))]
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


def _secrecy(t: Terms) -> list[Clause]:
    words = _(
        "Findspots are shown to the landholder %(findspot)s, to other members %(value)s and to the "
        "public %(findspot2)s."
    ) % {
        "findspot": _(FINDSPOT[t.findspot_landholder]),
        "value": _(FINDSPOT[t.findspot_members]),
        "findspot2": _(FINDSPOT[t.findspot_public]),
    }
    return [Clause("Findspots", words), Clause("Photographs", _(PHOTOS[t.photographs]))]


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
