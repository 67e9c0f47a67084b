"""Reasons from notice: who must be told of a planned visit, by when, and whether they were."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time

from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after, hours_before, wall, wall_time
from permissions.gate.facts import NoticeFacts, PartyFacts, PermissionFacts
from permissions.terms import Capacity, long_date
from permissions.terms.words import clock

_TOLD = frozenset({Capacity.SPORTING_TENANT, Capacity.INFORMED_ONLY})


def notice_reasons(case: Case) -> Iterator[Reason]:
    """Notice to those the terms name, and to those who are only told. Only a planned visit gives notice."""
    if not case.visit.planned:
        return
    for agreement, terms in case.terms():
        if terms.notice_hours is not None:
            for party in _to_tell(case, terms.notice_to):
                yield from _notice(case, party, agreement, terms.notice_hours)
    for party in _to_tell(case, _TOLD):
        yield from _inform(case, party)


def _inform(case: Case, party: PartyFacts) -> Iterator[Reason]:
    """Those without a say cannot shut the gate, but somebody with a gun or a bull has to know who is about."""
    hours = case.policy.inform_hours
    due = hours_before(start_of(case, case.on), hours)
    told = [wall(n.given_at) for n in _given(case, party) if not n.waived]
    if len(told) < len(_given(case, party)) or any(moment <= due for moment in told):
        return
    came = "; notice came later: ask whether that will do" if told else "; no notice is on record"
    words = f"{party.name} has no say but must be told {hours} hours before, by {_moment(due)}{came}."
    until = enough_from(case, hours, min(told)) if told else None
    yield Reason(ReasonCode.INFORM_DUE, Answer.ASK, words, party.key or party.landholder, until)


def _moment(moment: datetime) -> str:
    return f"{clock(moment.time())} on {long_date(moment.date())}"


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
    by = _moment(due)
    told = min((wall(n.given_at) for n in notices), default=None)
    if told is None and (now is None or wall(now) <= due):
        words = f"{party.name} must be told {hours} hours before, by {by}; no notice is on record.{tail}"
        yield Reason(ReasonCode.NOTICE_DUE, Answer.ASK, words, record)
        return
    basis = told or (wall(now) if now else due)
    done = "no notice is on record" if told is None else f"notice came at {_moment(told)}"
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
