"""Reasons from the visit against the terms: weekday, hours, heads, vehicles and dogs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, time
from functools import lru_cache

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after, wall_time
from permissions.terms import DogRule, Terms
from permissions.terms.plain import clock, only_days
from tongue import say as _
from tongue import say_many


def weekday_bars(case: Case) -> list[tuple[frozenset[int], Reason]]:
    """For each agreement that limits the weekdays: those it allows, and the reason on others, without end."""
    bars: dict[Reason, frozenset[int]] = {}
    for agreement, terms in case.terms():
        if terms.weekdays is not None:
            words = _("%(first_up)s allows %(only_days)s.%(because)s") % {
                "first_up": first_up(agreement.name),
                "only_days": only_days(terms.weekdays),
                "because": case.because(agreement),
            }
            bars[Reason(ReasonCode.WEEKDAY, Answer.SHUT, words, agreement.key)] = terms.weekdays
    return [(allowed, reason) for reason, allowed in bars.items()]


def weekday_reasons(case: Case) -> Iterator[Reason]:
    for allowed, reason in weekday_bars(case):
        if case.on.weekday() not in allowed:
            yield replace(reason, until=next_allowed(allowed, case.on))


@lru_cache(maxsize=1024)
def days_ahead(weekdays: frozenset[int], today: int) -> int | None:
    """How many days after weekday `today` the next of `weekdays` comes: 1 to 7, or None if there is none."""
    return min(((n - today - 1) % 7 + 1 for n in weekdays if 0 <= n < 7), default=None)


def next_allowed(weekdays: frozenset[int], on: date) -> date | None:
    """The next date after `on` that falls on one of the weekdays."""
    ahead = days_ahead(weekdays, on.weekday())
    return None if ahead is None else days_after(on, ahead)


def visit_reasons(case: Case) -> Iterator[Reason]:
    for agreement, terms in case.terms():
        tail = case.because(agreement)
        for reasons in (_hours, _heads, _vehicles, _dogs):
            for code, effect, words in reasons(case, terms):
                yield Reason(code, effect, words + tail, agreement.key)


Draft = tuple[ReasonCode, Answer, str]


def _hours(case: Case, terms: Terms) -> Iterator[Draft]:
    first, last = terms.hours_from, terms.hours_to
    if first is None and last is None:
        return
    start, end = case.visit.starts_at, case.visit.ends_at
    allowed = _("Searching is allowed %(span)s") % {"span": _span(first, last)}
    for given in (start, end):
        if given is not None and not _within(wall_time(given), first, last):
            yield (
                ReasonCode.HOURS,
                Answer.SHUT,
                _("%(allowed)s; the visit is planned %(span)s.")
                % {"allowed": allowed, "span": _span(start, end)},
            )
            return
    if case.visit.planned and (start is None or end is None):
        yield (
            ReasonCode.HOURS_UNKNOWN,
            Answer.ASK,
            _("%(allowed)s; say when the visit starts and ends.") % {"allowed": allowed},
        )
    elif start and end and wall_time(end) < wall_time(start):
        words = _("The visit ends at %(clock)s, before it starts at %(value)s; correct its times.") % {
            "clock": clock(end),
            "value": clock(start),
        }
        yield ReasonCode.HOURS_UNKNOWN, Answer.ASK, words


def _within(value: time, first: time | None, last: time | None) -> bool:
    return (first is None or wall_time(first) <= value) and (last is None or value <= wall_time(last))


def _span(start: time | None, end: time | None) -> str:
    if start is None or end is None:
        return (
            _("to %(time)s") % {"time": clock(end)}
            if end
            else _("from %(time)s") % {"time": clock(start or time())}
        )
    return _("from %(first)s to %(last)s") % {"first": clock(start), "last": clock(end)}


def _heads(case: Case, terms: Terms) -> Iterator[Draft]:
    top, heads = terms.max_heads, case.visit.heads
    if top is None:
        return
    count = max(heads or 0, len(case.visit.people))
    if count > top:
        words = _("The terms allow %(top)s at most; %(count)s would come.") % {"top": top, "count": count}
        yield ReasonCode.HEADS_OVER, Answer.SHUT, words
    elif heads is None and case.visit.planned:
        yield (
            ReasonCode.HEADS_UNKNOWN,
            Answer.ASK,
            _("The terms allow %(top)s at most; say how many will come.") % {"top": top},
        )


def _vehicles(case: Case, terms: Terms) -> Iterator[Draft]:
    top, count = terms.max_vehicles, case.visit.vehicles
    if top is None:
        return
    words = say_many("The terms allow %(value)s vehicle", "The terms allow %(value)s vehicles", top)
    allowed = words % {"value": top} if top > 0 else _("The terms allow no vehicles")
    if count is not None and count > top:
        yield (
            ReasonCode.VEHICLES_OVER,
            Answer.SHUT,
            _("%(allowed)s; %(count)s would come.") % {"allowed": allowed, "count": count},
        )
    elif count is None and case.visit.planned:
        yield (
            ReasonCode.VEHICLES_UNKNOWN,
            Answer.ASK,
            _("%(allowed)s; say how many will come.") % {"allowed": allowed},
        )


def _dogs(case: Case, terms: Terms) -> Iterator[Draft]:
    if terms.dogs is not DogRule.NONE:
        return
    if case.visit.dogs:
        yield ReasonCode.DOGS, Answer.SHUT, _("The terms allow no dogs.")
    elif case.visit.dogs is None and case.visit.planned:
        yield ReasonCode.DOGS_UNKNOWN, Answer.ASK, _("The terms allow no dogs; say whether any would come.")
