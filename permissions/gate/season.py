"""Reasons from the farming year: field state, livestock and closed periods."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import ONE_DAY, Case, day_after, days_after
from permissions.gate.facts import ClosedPeriodFacts, FieldStateFacts
from permissions.terms import LivestockRule, long_date
from tongue import say as _


def covers(period: ClosedPeriodFacts, on: date) -> bool:
    """Is `on` inside? Both ends count; a yearly window may wrap the new year; reversed dates are swapped."""
    if not period.yearly:
        return min(period.starts, period.ends) <= on <= max(period.starts, period.ends)
    first, last, day = _md(period.starts), _md(period.ends), _md(on)
    return first <= day <= last if first <= last else day >= first or day <= last


def _md(day: date) -> tuple[int, int]:
    return day.month, day.day


def reopens(period: ClosedPeriodFacts, on: date) -> date | None:
    """The first day after `on` outside the period that covers it; None for a window of the whole year."""
    if not period.yearly:
        return day_after(max(period.starts, period.ends))
    month, day = _md(period.ends)
    year = on.year if _md(on) <= (month, day) else on.year + 1
    try:
        end = date(year, month, day)
    except ValueError:
        end = date(year, 2, 28) if month == 2 and year <= date.max.year else date.max
    after = day_after(end)
    return after if after and not covers(period, after) else None


def closed_reasons(case: Case) -> Iterator[Reason]:
    for period in case.site.closed_periods:
        if period.effect is not Answer.OPEN and covers(period, case.on):
            until = reopens(period, case.on)
            end = (
                _(" up to and including %(long_date)s") % {"long_date": long_date(until - ONE_DAY)}
                if until
                else ""
            )
            verb = _("Closed") if period.effect is Answer.SHUT else _("Ask first")
            kind = f" ({period.kind})" if period.kind and period.kind != period.reason else ""
            words = f"{verb}{end}: {period.reason}{kind}."
            yield Reason(ReasonCode.CLOSED_PERIOD, period.effect, words, period.key, until)


def latest_states(site_states: tuple[FieldStateFacts, ...], on: date) -> list[FieldStateFacts]:
    """The entries of the latest day on or before `on`; several of one day all count."""
    past = [s for s in site_states if s.on <= on]
    newest = max((s.on for s in past), default=None)
    return [s for s in past if s.on == newest]


def field_reasons(case: Case) -> Iterator[Reason]:
    """The latest report decides; an old one is confirmed first; none at all is asked for."""
    site, on = case.site, case.on
    following = min((s.on for s in site.field_states if s.on > on), default=None)
    latest = latest_states(site.field_states, on)
    if not latest:
        words = _("Nobody has reported what is growing on %(site_name)s; ask.") % {"site_name": site.name}
        yield Reason(ReasonCode.FIELD_STATE_UNKNOWN, Answer.ASK, words, site.key, following)
        return
    for state in latest:
        yield from _one_state(case, state, following)
    last_good = days_after(latest[0].on, case.policy.field_state_days)
    if last_good is not None and on > last_good:
        words = _(
            "The last report of %(site_name)s is from %(long_date)s, more than "
            "%(policy_field_state_days)s days before; confirm what is growing."
        ) % {
            "site_name": site.name,
            "long_date": long_date(latest[0].on),
            "policy_field_state_days": case.policy.field_state_days,
        }
        yield Reason(ReasonCode.FIELD_STATE_OLD, Answer.ASK, words, latest[0].key, following)


def _one_state(case: Case, state: FieldStateFacts, following: date | None) -> Iterator[Reason]:
    source = (
        _("%(state_said_by)s said on") % {"state_said_by": state.said_by} if state.said_by else _("report of")
    )
    source = f"{source} {long_date(state.on)}"
    grown = ", ".join(p for p in (state.crop, state.stage) if p) or _("state not described")
    if state.effect is not Answer.OPEN:
        verb = _("is shut") if state.effect is Answer.SHUT else _("needs asking")
        words = f"{first_up(case.site.name)} {verb}: {grown} ({source})."
        yield Reason(ReasonCode.FIELD_STATE, state.effect, words, state.key, following)
    for agreement, terms in case.terms():
        if state.livestock == "" or terms.livestock is LivestockRule.ALLOWED:
            continue
        tail = case.because(agreement)
        if state.livestock is None:
            words = _("Whether livestock is in %(site_name)s is not known (%(source)s); ask.%(tail)s") % {
                "site_name": case.site.name,
                "source": source,
                "tail": tail,
            }
            yield Reason(ReasonCode.LIVESTOCK, Answer.ASK, words, state.key, following)
        else:
            shut = terms.livestock is LivestockRule.NOT_WITH
            rule = (
                _("the terms bar searching among livestock")
                if shut
                else _("ask before searching among livestock")
            )
            words = _("%(first_up)s in %(site_name)s (%(source)s); %(rule)s.%(tail)s") % {
                "first_up": first_up(state.livestock),
                "site_name": case.site.name,
                "source": source,
                "rule": rule,
                "tail": tail,
            }
            yield Reason(
                ReasonCode.LIVESTOCK, Answer.SHUT if shut else Answer.ASK, words, state.key, following
            )
