"""The days on which the gate's answer can change for reasons other than the weekday and the notice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Protocol

from permissions.gate.case import day_after, days_after
from permissions.gate.facts import ClosedPeriodFacts, PermissionFacts, SiteFacts, VisitFacts
from permissions.gate.policy import Policy


def edges(
    site: SiteFacts,
    permission: PermissionFacts | None,
    visit: VisitFacts,
    policy: Policy,
    first: date,
    last: date,
) -> Iterator[date]:
    """First days of something new, in no order and not only between `first` and `last`."""
    found = (
        *_of_permissions([permission] if permission else []),
        *_of_permissions([o.permission for o in site.overlaps]),
        *_of_site(site, policy),
        *(d for person in visit.people for p in (*person.memberships, *person.insurance) for d in _both(p)),
        *(d for period in site.closed_periods for d in _of_closed(period, first, last)),
    )
    return (d for d in found if d is not None)


class _Dated(Protocol):
    """What has a first and a last day."""

    @property
    def starts(self) -> date | None: ...
    @property
    def ends(self) -> date | None: ...


def _both(dated: _Dated) -> tuple[date | None, date | None]:
    return dated.starts, day_after(dated.ends)


def _of_permissions(permissions: Iterable[PermissionFacts]) -> Iterator[date | None]:
    for permission in permissions:
        yield from _both(permission)
        for c in permission.consents:
            yield from (*_both(c), c.given_on, c.withdrawn_on)


def _of_site(site: SiteFacts, policy: Policy) -> Iterator[date | None]:
    for party in site.parties:
        yield from (party.since, day_after(party.until))
    for state in site.field_states:
        yield from (state.on, days_after(state.on, policy.field_state_days + 1))
    yield site.retired_on
    if site.protected_checked_on:
        yield days_after(site.protected_checked_on, policy.protected_check_days + 1)
    for lifted_by in (*(p.lifted_by for p in site.protected), *(x.lifted_by for x in site.licences)):
        for period in lifted_by:
            yield from _both(period)


def _of_closed(period: ClosedPeriodFacts, first: date, last: date) -> Iterator[date | None]:
    low, high = min(period.starts, period.ends), max(period.starts, period.ends)
    if not period.yearly:
        yield from (low, day_after(high))
        return
    for year in range(max(first.year - 1, 1), min(last.year + 1, date.max.year) + 1):
        yield on_or_next(year, period.starts)
        yield _after(year, period.ends)


def on_or_next(year: int, model: date) -> date:
    """That month and day of the year; 1 March for a 29 February the year does not have."""
    try:
        return model.replace(year=year)
    except ValueError:
        return date(year, 3, 1)


def _after(year: int, model: date) -> date | None:
    if (model.month, model.day) == (2, 29):
        return date(year, 3, 1)
    return day_after(model.replace(year=year))
