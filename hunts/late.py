"""Who is late, who is to be told, and which step is due: read by the command that sends the alarms."""

from datetime import date, datetime, timedelta

from django.db.models import Q
from django.utils.timezone import localdate

from hunts.models import Attendance, Guest, Hunt, LoneHunt
from hunts.models.lone import STEPS_MIN
from hunts.states import HuntState
from people.models import RoleHeld, User
from people.rights import ROLE_RIGHTS, Right

FORGOTTEN_DAYS = 2
"""An alarm about a hunt longer ago is no alarm any more; Today goes on saying that somebody was not signed out."""


def step_due(due_at: datetime, at: datetime) -> int | None:
    """The highest of the steps (minutes) that is reached at `at`, or None."""
    return max((step for step in STEPS_MIN if at >= due_at + timedelta(minutes=step)), default=None)


def late_hunts(at: datetime) -> list[Hunt]:
    """Hunts of the last days with somebody still out and the first step reached."""
    out = Q(sign_ups__attendance__isnull=False, sign_ups__attendance__signed_out_at__isnull=True)
    out |= Q(guests__signed_in_at__isnull=False, guests__signed_out_at__isnull=True)
    since = localdate(at) - timedelta(FORGOTTEN_DAYS)
    states = [HuntState.RUNNING, HuntState.CALLED_OFF]
    rows = Hunt.objects.filter(out, state__in=states, on__gte=since).distinct()
    return [hunt for hunt in rows if step_due(hunt.finishes, at) is not None]


def late_lone_hunts(at: datetime) -> list[LoneHunt]:
    """People out alone who are overdue by the first step or more."""
    return [lone for lone in LoneHunt.objects.overdue(at) if step_due(lone.due_back, at) is not None]


def names_out(hunt: Hunt) -> list[str]:
    """Everybody of the hunt who has not signed out, by name."""
    members = Attendance.objects.out().filter(sign_up__hunt=hunt)
    guests = Guest.objects.out().filter(hunt=hunt)
    return sorted(
        [*members.values_list("sign_up__user__name", flat=True), *guests.values_list("name", flat=True)]
    )


def runners(on: date) -> list[User]:
    """Everybody who may run hunts on that day."""
    roles = [role.value for role, rights in ROLE_RIGHTS.items() if Right.RUN_HUNT in rights]
    held = RoleHeld.objects.current(on).filter(role__in=roles)
    return list(User.objects.members_on(on).filter(is_active=True, roles_held__in=held).distinct())
