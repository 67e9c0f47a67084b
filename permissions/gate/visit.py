"""Reasons from the visit against the terms: weekday, hours, heads, notice, vehicles and dogs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from functools import lru_cache

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after, hours_before, wall, wall_time
from permissions.gate.facts import NoticeFacts, PartyFacts, PermissionFacts
from permissions.terms import Capacity, DogRule, Terms, long_date
from permissions.terms.words import clock, only_days

_TOLD = frozenset({Capacity.SPORTING_TENANT, Capacity.INFORMED_ONLY})


def weekday_bars(case: Case) -> list[tuple[frozenset[int], Reason]]:
    """For each agreement that limits the weekdays: those it allows, and the reason on others, without end."""
    bars: dict[Reason, frozenset[int]] = {}
    for agreement, terms in case.terms():
        if terms.weekdays is not None:
            words = f"{first_up(agreement.name)} allows {only_days(terms.weekdays)}.{case.because(agreement)}"
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
    allowed = f"Searching is allowed {_span(first, last)}"
    for given in (start, end):
        if given is not None and not _within(wall_time(given), first, last):
            yield ReasonCode.HOURS, Answer.SHUT, f"{allowed}; the visit is planned {_span(start, end)}."
            return
    if case.visit.planned and (start is None or end is None):
        yield ReasonCode.HOURS_UNKNOWN, Answer.ASK, f"{allowed}; say when the visit starts and ends."
    elif start and end and wall_time(end) < wall_time(start):
        words = f"The visit ends at {clock(end)}, before it starts at {clock(start)}; correct its times."
        yield ReasonCode.HOURS_UNKNOWN, Answer.ASK, words


def _within(value: time, first: time | None, last: time | None) -> bool:
    return (first is None or wall_time(first) <= value) and (last is None or value <= wall_time(last))


def _span(start: time | None, end: time | None) -> str:
    parts = ((word, value) for word, value in (("from", start), ("to", end)) if value is not None)
    return " ".join(f"{word} {clock(value)}" for word, value in parts)


def _heads(case: Case, terms: Terms) -> Iterator[Draft]:
    top, heads = terms.max_heads, case.visit.heads
    if top is None:
        return
    count = max(heads or 0, len(case.visit.people))
    if count > top:
        words = f"The terms allow {top} at most; {count} would come."
        yield ReasonCode.HEADS_OVER, Answer.SHUT, words
    elif heads is None and case.visit.planned:
        yield ReasonCode.HEADS_UNKNOWN, Answer.ASK, f"The terms allow {top} at most; say how many will come."


def _vehicles(case: Case, terms: Terms) -> Iterator[Draft]:
    top, count = terms.max_vehicles, case.visit.vehicles
    if top is None:
        return
    allowed = f"The terms allow {top} vehicle{'' if top == 1 else 's'}"
    if count is not None and count > top:
        yield ReasonCode.VEHICLES_OVER, Answer.SHUT, f"{allowed}; {count} would come."
    elif count is None and case.visit.planned:
        yield ReasonCode.VEHICLES_UNKNOWN, Answer.ASK, f"{allowed}; say how many will come."


def _dogs(case: Case, terms: Terms) -> Iterator[Draft]:
    if terms.dogs is not DogRule.NONE:
        return
    if case.visit.dogs:
        yield ReasonCode.DOGS, Answer.SHUT, "The terms allow no dogs."
    elif case.visit.dogs is None and case.visit.planned:
        yield ReasonCode.DOGS_UNKNOWN, Answer.ASK, "The terms allow no dogs; say whether any would come."


def notice_reasons(case: Case) -> Iterator[Reason]:
    """Notice to those the terms name, and to those who are only told. Only a planned visit gives notice."""
    if not case.visit.planned:
        return
    for agreement, terms in case.terms():
        if terms.notice_hours is not None:
            for party in _to_tell(case, terms.notice_to):
                yield from _notice(case, party, agreement, terms.notice_hours)
    for party in _to_tell(case, _TOLD):
        if not _given(case, party):
            words = f"{party.name} has no say but must be told of the visit; no notice is on record."
            yield Reason(ReasonCode.INFORM_DUE, Answer.ASK, words, party.key or party.landholder)


def _to_tell(case: Case, capacities: frozenset[Capacity]) -> list[PartyFacts]:
    return [p for p in case.site.parties if p.capacity in capacities and p.current(case.on)]


def _given(case: Case, party: PartyFacts) -> list[NoticeFacts]:
    """Notices to the party itself or to an agent who acts for it."""
    reach = {party.landholder} | {
        p.landholder
        for p in case.site.parties
        if p.capacity is Capacity.AGENT and p.acts_for == party.landholder and p.current(case.on)
    }
    return [n for n in case.visit.notices if n.landholder in reach]


def start_of(case: Case, on: date) -> datetime:
    """When the visit starts; where that is not said, the day's first moment, so notice is never too late."""
    return datetime.combine(on, wall_time(case.visit.starts_at or time()))


def _notice(case: Case, party: PartyFacts, agreement: PermissionFacts, hours: int) -> Iterator[Reason]:
    due = hours_before(start_of(case, case.on), hours)
    notices, record = _given(case, party), party.key or party.landholder
    if any(n.waived or wall(n.given_at) <= due for n in notices):
        return
    tail = case.because(agreement)
    now = case.visit.decided_at
    by = f"{clock(due.time())} on {long_date(due.date())}"
    told = min((wall(n.given_at) for n in notices), default=None)
    if told is None and (now is None or wall(now) <= due):
        words = f"{party.name} must be told {hours} hours before, by {by}; no notice is on record.{tail}"
        yield Reason(ReasonCode.NOTICE_DUE, Answer.ASK, words, record)
        return
    basis = told or (wall(now) if now else due)
    done = (
        "no notice is on record"
        if told is None
        else f"notice came at {clock(basis.time())}, {long_date(basis.date())}"
    )
    words = (
        f"{party.name} must be told {hours} hours before, by {by}; {done}. Ask if short notice will do.{tail}"
    )
    # Another agreement over the same ground may ask for notice too, and would repeat this reason on that day.
    alone = all(o.permission.terms.notice_hours is None for o in case.site.overlaps)
    until = enough_from(case, hours, basis) if alone else None
    yield Reason(ReasonCode.NOTICE_SHORT, Answer.SHUT, words, record, until)


def enough_from(case: Case, hours: int, basis: datetime) -> date | None:
    """The first day on which notice given at `basis` is long enough."""
    day = days_after(basis.date(), hours // 24)
    for _ in range(3):
        if day is None or basis <= hours_before(start_of(case, day), hours):
            return day
        day = days_after(day, 1)
    return day
