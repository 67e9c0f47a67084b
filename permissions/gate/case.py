"""The case before the gate, and date arithmetic that never fails."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from permissions.gate.facts import PermissionFacts, PermissionState, SiteFacts, VisitFacts
from permissions.gate.policy import Policy
from permissions.terms import Terms
from tongue import say as _

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Case:
    """One question. `on` is the day asked about and wins over `visit.on`."""

    site: SiteFacts
    permission: PermissionFacts | None
    visit: VisitFacts
    policy: Policy
    on: date

    def agreements(self) -> tuple[PermissionFacts, ...]:
        """The permission and every other one in force over the same ground: all their terms must be met."""
        own = (self.permission,) if self.permission else ()
        if not self.site.overlaps:
            return own
        keys = {p.key for p in own}
        others = (o.permission for o in self.site.overlaps if o.permission.key not in keys)
        return own + tuple(p for p in others if permission_in_force(p, self.on))

    def because(self, agreement: PermissionFacts) -> str:
        """Where a term comes from, if it is not the permission asked about: both are named."""
        if self.permission is None or agreement.key == self.permission.key:
            return ""
        return _(
            " That is a term of %(agreement_name)s, which covers the same ground as "
            "%(permission_name)s; the stricter decides."
        ) % {"agreement_name": agreement.name, "permission_name": self.permission.name}

    def terms(self) -> list[tuple[PermissionFacts, Terms]]:
        return [(a, a.terms) for a in self.agreements()]


def permission_in_force(permission: PermissionFacts, on: date) -> bool:
    """Granted, and `on` is between its first and last day, both included."""
    return (
        permission.state is PermissionState.GRANTED
        and (permission.starts is None or permission.starts <= on)
        and (permission.ends is None or on <= permission.ends)
    )


def days_after(day: date, days: int) -> date | None:
    """The date `days` later, or None beyond the end of the calendar."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None


def day_after(day: date | None) -> date | None:
    return None if day is None else days_after(day, 1)


def wall(moment: datetime) -> datetime:
    """Club wall clock: an offset, if any came along, is dropped so that comparing never fails."""
    return moment.replace(tzinfo=None)


def wall_time(value: time) -> time:
    return value.replace(tzinfo=None)


def hours_before(moment: datetime, hours: int) -> datetime:
    """`moment` less `hours`, or the first moment of the calendar."""
    try:
        return moment - timedelta(hours=hours)
    except OverflowError:
        return datetime.min  # noqa: DTZ901 - wall clock, see `wall`
