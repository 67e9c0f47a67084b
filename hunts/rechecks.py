"""Filled holes on grass that somebody should look at again, two to four weeks later."""

from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef
from django.utils.timezone import localdate

from hunts.models import Hole, HoleRecheck
from hunts.models.hole import Ground, HoleQuerySet, Outcome
from hunts.states import HoleState
from people.models import User
from people.rights import Right

EARLIEST_DAYS = 14
LATEST_DAYS = 28
"""Two to four weeks: when a plug on grass has settled, and before the owner meets it (common practice)."""


def rechecks_due(user: User, at: datetime) -> HoleQuerySet:
    """Holes on grass filled two weeks ago or more that nobody has looked at since, the oldest first."""
    if not user.holds(Right.CHECK_HOLES):
        return Hole.objects.none()
    since = HoleRecheck.objects.filter(hole=OuterRef("pk"), at__gte=OuterRef("filled_at"))
    rows = Hole.objects.visible_to(user).filter(
        ~Exists(since),
        ground=Ground.PASTURE,
        state__in=[HoleState.FILLED, HoleState.CHECKED],
        filled_at__lte=at - timedelta(EARLIEST_DAYS),
    )
    return (
        rows.exclude(outcome=Outcome.STOPPED)
        .select_related("hunt", "site", "digger")
        .order_by("filled_at", "pk")
    )


def is_overdue(hole: Hole, at: datetime) -> bool:
    """More than four weeks since it was filled."""
    return hole.filled_at is not None and localdate(at) > localdate(hole.filled_at) + timedelta(LATEST_DAYS)
