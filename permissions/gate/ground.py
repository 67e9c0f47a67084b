"""Reasons from the ground: protected places, licences, no-go areas, distance and jurisdiction."""

from __future__ import annotations

from collections.abc import Iterator

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after
from permissions.gate.facts import Period, ProtectedFacts, Relation
from permissions.terms import long_date


def ground_reasons(case: Case) -> Iterator[Reason]:
    for place in case.site.protected:
        yield from _protected(case, place)
    yield from _check_age(case)
    yield from _licences(case)
    yield from _shape(case)


def _protected(case: Case, place: ProtectedFacts) -> Iterator[Reason]:
    name = f"{place.name} ({place.kind})" if place.kind else place.name
    if place.relation is Relation.IN_BUFFER:
        words = (
            f"{first_up(case.site.name)} lies close to {name}; its edge is hard to see on the ground, so ask."
        )
        yield Reason(ReasonCode.PROTECTED_BUFFER, Answer.ASK, words, place.key)
    elif any(p.covers(case.on) for p in place.lifted_by):
        words = (
            f"{first_up(case.site.name)} touches {name}; search only as the written consent on record allows."
        )
        yield Reason(ReasonCode.PROTECTED_TOUCHES, Answer.ASK, words, place.key, None)
    else:
        words = f"{first_up(case.site.name)} touches {name}; using a detector there may be an offence."
        yield Reason(ReasonCode.PROTECTED_TOUCHES, Answer.SHUT, words, place.key)


def _check_age(case: Case) -> Iterator[Reason]:
    checked, key = case.site.protected_checked_on, case.site.key
    if checked is None:
        words = f"{first_up(case.site.name)} has never been checked against protected places."
        yield Reason(ReasonCode.PROTECTED_CHECK_MISSING, Answer.ASK, words, key)
        return
    last_good = days_after(checked, case.policy.protected_check_days)
    if last_good is not None and case.on > last_good:
        words = (
            f"The last check of {case.site.name} against protected places was on {long_date(checked)},"
            f" more than {case.policy.protected_check_days} days before; check again."
        )
        yield Reason(ReasonCode.PROTECTED_CHECK_OLD, Answer.ASK, words, key)


def next_start(periods: tuple[Period, ...], case: Case) -> Period | None:
    """The next period to begin after the day asked about."""
    later = [p for p in periods if p.starts and p.starts > case.on and p.covers(p.starts)]
    return min(later, key=lambda p: (p.starts is None, p.starts), default=None)


def last_end(periods: tuple[Period, ...], case: Case) -> Period | None:
    """The period that ended last before the day asked about."""
    gone = [p for p in periods if p.ends and p.ends < case.on]
    return max(gone, key=lambda p: (p.ends is not None, p.ends), default=None)


def _licences(case: Case) -> Iterator[Reason]:
    for licence in case.site.licences:
        if any(p.covers(case.on) for p in licence.lifted_by):
            continue
        following, gone = next_start(licence.lifted_by, case), last_end(licence.lifted_by, case)
        tail = "none is on record"
        if gone and gone.ends:
            tail = f"the one on record ended on {long_date(gone.ends)}"
        if following and following.starts:
            tail = f"the one on record starts on {long_date(following.starts)}"
        words = f"{licence.words.rstrip('.')}; {tail}."
        until = following.starts if following else None
        yield Reason(ReasonCode.LICENCE_MISSING, Answer.SHUT, words, licence.key, until)


def _shape(case: Case) -> Iterator[Reason]:
    site = case.site
    if site.retired_on is not None and site.retired_on <= case.on:
        after = f"; its ground is now {' and '.join(site.successors)}" if site.successors else ""
        words = f"{first_up(site.name)} is no longer used from {long_date(site.retired_on)}{after}."
        yield Reason(ReasonCode.SITE_RETIRED, Answer.SHUT, words, site.key)
    if not site.no_go_share < 0.999_999:
        words = f"All of {site.name} is marked as no-go."
        yield Reason(ReasonCode.GROUND_ALL_NO_GO, Answer.SHUT, words, site.key)
    if not site.jurisdiction:
        words = f"Which country's law applies to {site.name} is not recorded."
        yield Reason(ReasonCode.JURISDICTION_UNKNOWN, Answer.ASK, words, site.key)
    km = site.distance_from_club_km
    if km is not None and not km <= case.policy.far_km:
        words = (
            f"{first_up(site.name)} lies over {case.policy.far_km:g} km from the club; check its boundary."
        )
        yield Reason(ReasonCode.FAR_FROM_CLUB, Answer.ASK, words, site.key)
