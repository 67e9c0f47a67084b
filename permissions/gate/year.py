"""The gate over a range of days, fast, and a summary of many answers.

All but the weekday and the notice changes only on certain days: a consent starts, a season ends.
Those edges cut the range into stretches; each is judged once, the rest is laid over it day by day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from permissions.gate.answer import Answer, Decision, Reason, ReasonCode, gravity, worst
from permissions.gate.case import Case
from permissions.gate.decide import decision, steady_reasons
from permissions.gate.edges import edges
from permissions.gate.facts import PermissionFacts, SiteFacts, VisitFacts
from permissions.gate.policy import DEFAULT_POLICY, Policy
from permissions.gate.visit import notice_reasons, weekday_reasons


def year_of(
    site: SiteFacts,
    permission: PermissionFacts | None,
    visit: VisitFacts,
    first: date,
    last: date,
    policy: Policy = DEFAULT_POLICY,
) -> tuple[Decision, ...]:
    """`gate` for every day from `first` to `last`, both included; `visit.on` is ignored.

    Agrees with `gate` day by day. An empty tuple where `last` is before `first`.
    """
    inner = {d for d in edges(site, permission, visit, policy, first, last) if first < d <= last}
    starts = [d.toordinal() for d in sorted(inner | {first})]
    days: list[Decision] = []
    for start, stop in zip(starts, [*starts[1:], last.toordinal() + 1], strict=True):
        case = Case(site, permission, visit, policy, date.fromordinal(start))
        days.extend(_stretch(case, range(start, stop)))
    return tuple(days)


def _stretch(case: Case, ordinals: range) -> Iterator[Decision]:
    steady = steady_reasons(case)
    if case.visit.planned:
        for n in ordinals:
            today = Case(case.site, case.permission, case.visit, case.policy, date.fromordinal(n))
            yield decision(today, [*steady, *weekday_reasons(today), *notice_reasons(today)])
        return
    week = [_Weekday(case, steady, n) for n in ordinals[:7]]
    for place, n in enumerate(ordinals):
        yield week[place % 7].on(date.fromordinal(n))


class _Weekday:
    """One day of the week in a stretch: its reasons are sorted once, and only the next allowed day moves."""

    __slots__ = ("_answer", "_moving", "_reasons", "_site")

    def __init__(self, case: Case, steady: list[Reason], ordinal: int) -> None:
        today = Case(case.site, case.permission, case.visit, case.policy, date.fromordinal(ordinal))
        laid_over = list(weekday_reasons(today))
        self._site = case.site.key
        self._reasons = tuple(sorted(dict.fromkeys([*steady, *laid_over]), key=gravity))
        self._answer = worst(r.effect for r in self._reasons)
        self._moving = [
            (self._reasons.index(r), r, r.until - today.on if r.until else None)
            for r in dict.fromkeys(laid_over)
        ]

    def on(self, day: date) -> Decision:
        reasons = self._reasons
        if self._moving:
            moved = list(reasons)
            for place, r, ahead in self._moving:
                moved[place] = Reason(r.code, r.effect, r.words, r.record, _later(day, ahead))
            reasons = tuple(moved)
        return Decision(self._site, day, self._answer, reasons)


def _later(day: date, ahead: timedelta | None) -> date | None:
    try:
        return day + ahead if ahead else None
    except OverflowError:
        return None


@dataclass(frozen=True, slots=True)
class Span:
    """Consecutive days with one answer, both ends included."""

    first: date
    last: date
    answer: Answer


@dataclass(frozen=True, slots=True)
class Summary:
    """Days by answer, the first open day, spans for drawing, and how many days each reason bars."""

    open: int
    ask: int
    shut: int
    first_open: date | None
    spans: tuple[Span, ...]
    codes: tuple[tuple[ReasonCode, int], ...]


def summarise(decisions: Iterable[Decision]) -> Summary:
    """Count answers of one site in the order of their days; most frequent reason first."""
    days = sorted(decisions, key=lambda d: d.on)
    count = Counter(d.answer for d in days)
    codes = Counter(code for d in days for code in {r.code for r in d.bars})
    return Summary(
        count[Answer.OPEN],
        count[Answer.ASK],
        count[Answer.SHUT],
        next((d.on for d in days if d.is_open), None),
        tuple(_spans(days)),
        tuple(sorted(codes.items(), key=lambda item: (-item[1], item[0]))),
    )


def _spans(days: list[Decision]) -> Iterator[Span]:
    first: Decision | None = None
    previous: Decision | None = None
    for day in days:
        if first and previous and (day.answer is not first.answer or day.on - previous.on > timedelta(1)):
            yield Span(first.on, previous.on, first.answer)
            first = None
        first, previous = first or day, day
    if first and previous:
        yield Span(first.on, previous.on, first.answer)
