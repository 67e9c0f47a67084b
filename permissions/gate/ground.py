"""Reasons from the ground: protected places, licences, no-go areas, distance and jurisdiction."""

from __future__ import annotations

from collections.abc import Iterator

from permissions.gate.agreement import first_up
from permissions.gate.answer import Answer, Reason, ReasonCode
from permissions.gate.case import Case, days_after
from permissions.gate.facts import Period, ProtectedFacts, Relation
from permissions.terms import long_date
from permissions.terms.plain import listed
from tongue import figure
from tongue import say as _


def ground_reasons(case: Case) -> Iterator[Reason]:
    for place in case.site.protected:
        yield from _protected(case, place)
    yield from _check_age(case)
    yield from _licences(case)
    yield from _shape(case)


def _protected(case: Case, place: ProtectedFacts) -> Iterator[Reason]:
    name = f"{place.name} ({place.kind})" if place.kind else place.name
    if place.relation is Relation.IN_BUFFER:
        words = _("%(first_up)s lies close to %(name)s; its edge is hard to see on the ground, so ask.") % {
            "first_up": first_up(case.site.name),
            "name": name,
        }
        yield Reason(ReasonCode.PROTECTED_BUFFER, Answer.ASK, words, place.key)
    elif any(p.covers(case.on) for p in place.lifted_by):
        words = _("%(first_up)s touches %(name)s; search only as the written consent on record allows.") % {
            "first_up": first_up(case.site.name),
            "name": name,
        }
        yield Reason(ReasonCode.PROTECTED_TOUCHES, Answer.ASK, words, place.key, None)
    else:
        words = _("%(first_up)s touches %(name)s; using a detector there may be an offence.") % {
            "first_up": first_up(case.site.name),
            "name": name,
        }
        yield Reason(ReasonCode.PROTECTED_TOUCHES, Answer.SHUT, words, place.key)


def _check_age(case: Case) -> Iterator[Reason]:
    checked, key = case.site.protected_checked_on, case.site.key
    if checked is None:
        words = _("%(first_up)s has never been checked against protected places.") % {
            "first_up": first_up(case.site.name)
        }
        yield Reason(ReasonCode.PROTECTED_CHECK_MISSING, Answer.ASK, words, key)
        return
    last_good = days_after(checked, case.policy.protected_check_days)
    if last_good is not None and case.on > last_good:
        words = _(
            "The last check of %(site_name)s against protected places was on %(long_date)s, more "
            "than %(policy_protected_check_days)s days before; check again."
        ) % {
            "site_name": case.site.name,
            "long_date": long_date(checked),
            "policy_protected_check_days": case.policy.protected_check_days,
        }
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
        tail = _("none is on record")
        if gone and gone.ends:
            tail = _("the one on record ended on %(long_date)s") % {"long_date": long_date(gone.ends)}
        if following and following.starts:
            tail = _("the one on record starts on %(long_date)s") % {"long_date": long_date(following.starts)}
        words = f"{licence.words.rstrip('.')}; {tail}."
        until = following.starts if following else None
        yield Reason(ReasonCode.LICENCE_MISSING, Answer.SHUT, words, licence.key, until)


def _shape(case: Case) -> Iterator[Reason]:
    site = case.site
    if site.retired_on is not None and site.retired_on <= case.on:
        after = (
            _("; its ground is now %(site_successors)s") % {"site_successors": listed(list(site.successors))}
            if site.successors
            else ""
        )
        words = _("%(first_up)s is no longer used from %(long_date)s%(after)s.") % {
            "first_up": first_up(site.name),
            "long_date": long_date(site.retired_on),
            "after": after,
        }
        yield Reason(ReasonCode.SITE_RETIRED, Answer.SHUT, words, site.key)
    if not site.no_go_share < 0.999_999:
        words = _("All of %(site_name)s is marked as no-go.") % {"site_name": site.name}
        yield Reason(ReasonCode.GROUND_ALL_NO_GO, Answer.SHUT, words, site.key)
    if not site.jurisdiction:
        words = _("Which country's law applies to %(site_name)s is not recorded.") % {"site_name": site.name}
        yield Reason(ReasonCode.JURISDICTION_UNKNOWN, Answer.ASK, words, site.key)
    km = site.distance_from_club_km
    if km is not None and not km <= case.policy.far_km:
        words = _("%(first_up)s lies over %(policy_far_km)s km from the club; check its boundary.") % {
            "first_up": first_up(site.name),
            "policy_far_km": figure(f"{case.policy.far_km:g}"),
        }
        yield Reason(ReasonCode.FAR_FROM_CLUB, Answer.ASK, words, site.key)
