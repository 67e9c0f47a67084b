"""What the pages about hunts show, put together without queries in templates."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Count, Prefetch, Q
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import pgettext_lazy as _p_lazy

from hunts.cards import is_leaders_day
from hunts.gate import GateSaid, gate_now, kept, with_ways
from hunts.guests import guest_rows
from hunts.models import Attendance, Hole, Hunt, SignUp
from hunts.models.hunt import HuntQuerySet
from hunts.points import point_of
from hunts.states import HoleState, HuntState, SignUpState
from people.models import User
from people.rights import Right
from permissions.gate import Answer
from permissions.models import Site

STATE_STATUS = {
    HuntState.PLANNED: "plain",
    HuntState.OPEN: "open",
    HuntState.RUNNING: "soon",
    HuntState.CLOSED: "done",
    HuntState.CALLED_OFF: "shut",
}
STATE_WORDS = {
    HuntState.PLANNED: _lazy("Planned, not open yet"),
    HuntState.OPEN: _p_lazy("state of a hunt", "Open for sign-up"),
    HuntState.RUNNING: _lazy("Running now"),
    HuntState.CLOSED: _lazy("Closed"),
    HuntState.CALLED_OFF: _lazy("Called off"),
}
HOLE_STATUS = {
    HoleState.DUG: ("late", _lazy("Not filled")),
    HoleState.FILLED: ("open", _lazy("Filled")),
    HoleState.CHECKED: ("done", _lazy("Checked")),
}
PLACING_WORDS = {
    "inside": ("open", _lazy("Inside the boundary")),
    "outside": ("late", _lazy("Outside the boundary")),
    "uncertain": ("ask", _lazy("Inside or outside: the fix is not exact enough to say")),
}


def with_places(hunts: HuntQuerySet, user: User) -> HuntQuerySet:
    """Hunts with sites, leader, places, people waiting and the reader's own sign-up, in a fixed number of queries."""
    own = Prefetch("sign_ups", SignUp.objects.filter(user=user), to_attr="own_sign_ups")
    members = Count("sign_ups", filter=Q(sign_ups__state=SignUpState.IN), distinct=True)
    taken = members + Count("guests", filter=Q(guests__withdrawn_at__isnull=True), distinct=True)
    waiting = Count("sign_ups", filter=Q(sign_ups__state=SignUpState.WAITING), distinct=True)
    return (
        hunts.select_related("leader")
        .prefetch_related(Prefetch("sites", Site.objects.only("code", "name")), own)
        .annotate(taken=taken, waiting=waiting)
    )


def state_words(hunt: Hunt) -> str:
    return _("Past outing") if hunt.is_past_outing else str(STATE_WORDS[HuntState(hunt.state)])


def hunt_rows(hunts: Iterable[Any]) -> list[dict[str, Any]]:
    """Rows of the list: the hunt, its state in words, sites, places, and what the reader has there."""
    rows = []
    for hunt in hunts:
        own = next(iter(hunt.own_sign_ups), None)
        rows.append(
            {
                "hunt": hunt,
                "status": STATE_STATUS[HuntState(hunt.state)],
                "words": state_words(hunt),
                "sites": ", ".join(str(site) for site in hunt.sites.all()),
                "free": max(0, hunt.capacity - hunt.taken),
                "mine": SIGN_UP_WORDS.get(own.state, "") if own else "",
            }
        )
    return rows


SIGN_UP_WORDS = {SignUpState.IN: "You have a place", SignUpState.WAITING: "You are on the waiting list"}


@dataclass(frozen=True, slots=True)
class Mine:
    """The reader's own standing on a hunt; `turn` is their place in the queue, from 1."""

    state: str = ""
    turn: int = 0
    is_in_field: bool = False


def my_standing(hunt: Hunt, user: User) -> Mine:
    """Whether the reader is coming, waits, or is out on the field."""
    row = SignUp.objects.filter(hunt=hunt, user=user).exclude(state=SignUpState.WITHDRAWN).first()
    if row is None:
        return Mine()
    turn = 0
    if row.state == SignUpState.WAITING:
        queue = list(SignUp.objects.waiting().filter(hunt=hunt).values_list("pk", flat=True))
        turn = queue.index(row.pk) + 1
    return Mine(row.state, turn, Attendance.objects.out().filter(sign_up=row).exists())


def may(hunt: Hunt, user: User, mine: Mine, *, at: datetime) -> dict[str, bool]:
    """What this reader may do on this hunt now."""
    state, plans, runs = HuntState(hunt.state), user.holds(Right.PLAN_HUNT), user.holds(Right.RUN_HUNT)
    ahead = localdate(at) <= hunt.on
    leads = user.pk == hunt.leader_id
    return {
        "may_sign_up": state is HuntState.OPEN and not mine.state and ahead and user.holds(Right.SIGN_UP),
        "may_withdraw": bool(mine.state)
        and state in {HuntState.OPEN, HuntState.RUNNING}
        and not (leads or mine.is_in_field),
        "may_log": state is HuntState.RUNNING
        and (leads or mine.state == SignUpState.IN)
        and user.holds(Right.LOG_HOLES),
        "may_tell": leads or runs or mine.state == SignUpState.IN,
        "may_plan": plans,
        "may_edit": plans and state is not HuntState.CALLED_OFF and not hunt.is_past_outing,
        "may_remove": hunt.is_past_outing and user.holds(Right.MANAGE_PERMISSIONS),
        "may_open": plans and state is HuntState.PLANNED,
        "may_call_off": plans and state in {HuntState.PLANNED, HuntState.OPEN, HuntState.RUNNING},
        "may_run": runs,
        "may_start": runs and state is HuntState.OPEN and localdate(at) == hunt.on,
        "may_close": runs and state is HuntState.RUNNING,
        "may_add": runs and state in {HuntState.OPEN, HuntState.RUNNING} and ahead,
        "may_sign_up_others": runs and state is HuntState.OPEN and ahead,
        "may_brief": runs and state in {HuntState.OPEN, HuntState.RUNNING},
        "may_see_reports": user.holds(Right.ISSUE_REPORTS),
        "may_see_land": user.holds(Right.SEE_ALL_LAND),
    }


def gate_shown(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any]:
    """While it still matters: for planners what the gate says now and whether that is new; for others that it is shut.

    Why it is shut is between the club and the landholder.
    """
    live = HuntState(hunt.state) in {HuntState.PLANNED, HuntState.OPEN, HuntState.RUNNING}
    if not user.holds(Right.PLAN_HUNT):
        return {"gate": None, "gate_shut": live and gate_now(hunt, at=at).answer is Answer.SHUT}
    before = kept(hunt)
    if not live:
        return {"gate": before, "gate_changed": False, "gate_asked": hunt.gate_answer.get("asked")}
    shown: GateSaid = gate_now(hunt, at=at, names=user.holds(Right.SEE_LANDHOLDERS))
    changed = before is not None and before.key != shown.key
    return {
        "gate": with_ways(shown, user, permission=hunt.permission_id or 0, hunt=hunt.pk),
        "gate_before": before if changed else None,
        "gate_changed": changed,
        "gate_asked": hunt.gate_answer.get("asked"),
    }


def roll(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any]:
    """The roll call: one row for everybody with a place, late ones marked, and the head count."""
    private = is_leaders_day(hunt, user, at)
    ups = SignUp.objects.visible_to(user).filter(hunt=hunt).exclude(state=SignUpState.WITHDRAWN)
    rows: list[dict[str, Any]] = []
    for up in ups.select_related("user", "attendance", "hunt").order_by("user__name"):
        came: Attendance | None = getattr(up, "attendance", None)
        rows.append(
            {
                "up": up,
                "came": came,
                "waiting": up.state == SignUpState.WAITING,
                "late": came is not None and came.is_late(at),
                "vehicle": came.vehicle if private and came else "",
                "contact": came.emergency_contact if private and came else "",
                "private": private and came is not None,
            }
        )
    guests = guest_rows(hunt, user, private=private, at=at)
    present = [row["came"] for row in rows if row["came"] is not None]
    present += [row["guest"] for row in guests if row["guest"].signed_in_at]
    out = sum(each.is_out for each in present)
    counts = {"signed_in": len(present), "still_out": out, "back": len(present) - out}
    return {"rows": rows, "guests": guests, "private": private, **counts}


def hole_rows(holes: Iterable[Hole], user: User) -> list[dict[str, Any]]:
    """Rows of a list of holes; the place of a locked one is not shown in lists."""
    rows = []
    for hole in holes:
        status, words = HOLE_STATUS[HoleState(hole.state)]
        point = None if hole.locked else point_of(hole, user)
        unplaced = ("plain", _("Not judged") if hole.is_fixed else _("No position"))
        placing = PLACING_WORDS.get(hole.placing, unplaced)
        rows.append({"hole": hole, "status": status, "words": words, "where": point, "placing": placing})
    return rows


def holes_seen(hunt: Hunt, user: User) -> Any:
    """Holes of the hunt that the reader may see, with what the lists need."""
    rows = Hole.objects.visible_to(user).filter(hunt=hunt).select_related("hunt", "site", "digger")
    return rows.order_by("number")
