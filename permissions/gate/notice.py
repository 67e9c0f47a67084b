"""Reasons from notice: who must be told of a planned visit, by when, and whether they were."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time

from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after, hours_before, wall, wall_time
from permissions.gate.facts import NoticeFacts, PartyFacts, PermissionFacts
from permissions.terms import Capacity, long_date
from permissions.terms.plain import clock
from tongue import say as _

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
    came = _("; notice came later: ask whether that will do") if told else _("; no notice is on record")
    words = _("%(party_name)s has no say but must be told %(hours)s hours before, by %(moment)s%(came)s.") % {
        "party_name": party.name,
        "hours": hours,
        "moment": _moment(due),
        "came": came,
    }
    until = enough_from(case, hours, min(told)) if told else None
    yield Reason(ReasonCode.INFORM_DUE, Answer.ASK, words, party.key or party.landholder, until)


def _moment(moment: datetime) -> str:
    return _("%(clock)s on %(long_date)s") % {
        "clock": clock(moment.time()),
        "long_date": long_date(moment.date()),
    }


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
        words = _(
            "%(party_name)s must be told %(hours)s hours before, by %(by)s; no notice is on record.%(tail)s"
        ) % {"party_name": party.name, "hours": hours, "by": by, "tail": tail}
        yield Reason(ReasonCode.NOTICE_DUE, Answer.ASK, words, record)
        return
    basis = told or (wall(now) if now else due)
    done = (
        _("no notice is on record")
        if told is None
        else _("notice came at %(moment)s") % {"moment": _moment(told)}
    )
    words = _(
        "%(party_name)s must be told %(hours)s hours before, by %(by)s; %(done)s. Ask if short "
        "notice will do.%(tail)s"
    ) % {"party_name": party.name, "hours": hours, "by": by, "done": done, "tail": tail}
    # Another agreement over the same ground may ask for notice too, and would repeat this reason on that day.
    alone = all(o.permission.terms.notice_hours is None for o in case.site.overlaps)
    until = enough_from(case, hours, basis) if alone else None
    yield Reason(ReasonCode.NOTICE_SHORT, Answer.SHUT, words, record, until)


def enough_from(case: Case, hours: int, basis: datetime) -> date | None:
    """The first day on which notice given at `basis` is long enough."""
    day = days_after(basis.date(), hours // 24)
    for _rest in range(3):
        if day is None or basis <= hours_before(start_of(case, day), hours):
            return day
        day = days_after(day, 1)
    return day
