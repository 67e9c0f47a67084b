"""The gate over a range of days, fast, and a summary of many answers.

All but the weekday and the notice changes only on certain days: a consent starts, a season ends.
Those edges cut the range into stretches; each is judged once, the rest is laid over it day by day.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from permissions.gate.answer import Answer, Decision, Reason, ReasonCode, gravity
from permissions.gate.case import Case, days_after
from permissions.gate.decide import decision, steady_reasons
from permissions.gate.edges import edges
from permissions.gate.facts import PermissionFacts, SiteFacts, VisitFacts
from permissions.gate.notice import notice_reasons
from permissions.gate.policy import DEFAULT_POLICY, Policy
from permissions.gate.visit import days_ahead, weekday_bars, weekday_reasons


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
    plain = decision(case, steady)
    layers, site = _layers(plain.reasons, weekday_bars(case)), case.site.key
    for n in ordinals:
        day, layer = date.fromordinal(n), layers[(n - 1) % 7]  # ordinal 1 was a Monday
        if layer is None:
            yield Decision(site, day, plain.answer, plain.reasons)
        else:
            yield Decision(site, day, Answer.SHUT, _moved(layer, day))


class _Layer(NamedTuple):
    """The sorted reasons of a barred weekday; `moving`: where its weekday reasons are, how soon they end."""

    reasons: tuple[Reason, ...]
    moving: tuple[tuple[int, int | None], ...]


def _layers(plain: tuple[Reason, ...], bars: list[tuple[frozenset[int], Reason]]) -> list[_Layer | None]:
    """For Monday to Sunday what a bar adds; sorted once where the bars are the same."""
    layers: list[_Layer | None] = [None] * 7
    ordered: dict[tuple[Reason, ...], tuple[Reason, ...]] = {}
    for weekday in range(7):
        barred = {reason: allowed for allowed, reason in bars if weekday not in allowed}
        if barred:
            key = tuple(barred)
            if key not in ordered:
                ordered[key] = tuple(sorted((*plain, *barred), key=gravity))
            places = (
                (ordered[key].index(reason), days_ahead(allowed, weekday))
                for reason, allowed in barred.items()
            )
            layers[weekday] = _Layer(ordered[key], tuple(places))
    return layers


def _moved(layer: _Layer, day: date) -> tuple[Reason, ...]:
    reasons = list(layer.reasons)
    for place, ahead in layer.moving:
        if ahead is not None:
            r = reasons[place]
            reasons[place] = Reason(r.code, r.effect, r.words, r.record, days_after(day, ahead))
    return tuple(reasons)


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
