"""The pages of one hunt and one hole, put together for one reader."""

from datetime import datetime
from typing import Any

from django.db.models import Prefetch

from hunts import maps, screens
from hunts.actions.guest_places import places_taken
from hunts.cover_screens import effort_of, may_add_track
from hunts.guests import guests_shown
from hunts.kit_pages import own_settings
from hunts.models import Attendance, Hole, Hunt, Incident, SignUp
from hunts.models.hole import Outcome
from hunts.points import shown_to
from hunts.risk_pages import read_out, risks_of
from hunts.states import HoleState, HuntState
from hunts.steward_pages import outcomes_of
from hunts.stops import stops_of_hunt
from people.models import User
from people.rights import Right
from permissions.agreed import clauses_of

MOST_LISTED = 20  # open holes on the hunt's own page; the list of holes turns pages


def hunt_page(hunt: Hunt, user: User, *, at: datetime) -> dict[str, Any]:
    """What `user` sees of `hunt` at `at`. Its leader, permission and `closed_by` should be loaded."""
    mine = screens.my_standing(hunt, user)
    holes = list(screens.holes_seen(hunt, user))
    unfilled = [hole for hole in holes if hole.state == HoleState.DUG]
    allowed = screens.may(hunt, user, mine, at=at)
    return {
        **allowed,
        **screens.gate_shown(hunt, user, at=at),
        **_words(hunt),
        "hunt": hunt,
        "stops": stops_of_hunt(hunt),
        "may_see_incidents": hunt.leader_id == user.pk or user.holds(Right.SEE_ALL_HOLES),
        "mine": mine,
        "sites": [row.site for row in hunt.hunt_sites.select_related("site")],
        "my_holes": screens.hole_rows([hole for hole in holes if hole.digger_id == user.pk], user),
        "unfilled": screens.hole_rows(unfilled[:MOST_LISTED], user),
        "unfilled_more": max(0, len(unfilled) - MOST_LISTED),
        "holes_total": len(holes),
        "has_reports": not hunt.is_past_outing and hunt.state in {HuntState.RUNNING, HuntState.CLOSED},
        "roll": screens.roll(hunt, user, at=at) if allowed["may_run"] else None,
        "own": own_settings(hunt, user, at=at),
        **guests_shown(hunt, user, mine, at=at),
        **outcomes_of(hunt, user),
        "effort": effort_of(hunt),
        "may_add_track": may_add_track(hunt, user),
        "features": maps.with_holes(hunt, holes, user),
    }


def _words(hunt: Hunt) -> dict[str, Any]:
    """The state in words, places, and people still out after a hunt was called off."""
    state = HuntState(hunt.state)
    taken = places_taken(hunt)
    return {
        "status": screens.STATE_STATUS[state],
        "state_words": screens.state_words(hunt),
        "taken": taken,
        "free": max(0, hunt.capacity - taken),
        "waiting": hunt.sign_ups.waiting().count(),
        "still_out": Attendance.objects.out().filter(sign_up__hunt=hunt).count() + hunt.guests.out().count(),
    }


def briefing_page(hunt: Hunt, user: User) -> dict[str, Any]:
    """The ground, what was agreed and who heard it; whom the landholder's notice goes to is not read out."""
    ups = SignUp.objects.visible_to(user).filter(hunt=hunt)
    agreed = clauses_of(hunt.permission) if hunt.permission else []
    return {
        "hunt": hunt,
        "may_record": user.holds(Right.RUN_HUNT) and ups.standing().filter(briefed_at__isnull=True).exists(),
        "heard": ups.filter(briefed_at__isnull=False).select_related("user", "briefed_by"),
        "sites": hunt.sites.prefetch_related(Prefetch("no_go", to_attr="no_go_list")),
        "risks": read_out(risks_of(hunt, user)),
        "terms": [clause for clause in agreed if clause.topic != "Notice"],
    }


def hole_page(hole: Hole, user: User, *, at: datetime) -> dict[str, Any]:
    """What `user` sees of `hole`; seeing the place of a locked one is recorded. Its hunt and site should be loaded."""
    return {
        **hole_rights(hole, user),
        "row": screens.hole_rows([hole], user)[0],
        "hole": hole,
        "point": shown_to(hole, user, at=at, where="hole page"),
        "photos": hole.photos.all(),
        "incidents": Incident.objects.visible_to(user).filter(hole=hole),
    }


def hole_rights(hole: Hole, user: User) -> dict[str, bool]:
    """What this reader may do with this hole now."""
    own = hole.digger_id == user.pk
    close = own or hole.hunt.leader_id == user.pk
    checks, running = user.holds(Right.CHECK_HOLES), hole.hunt.state == HuntState.RUNNING
    return {
        "may_change": running and (close or user.holds(Right.SEE_ALL_HOLES)),
        "may_fill": hole.state == HoleState.DUG and (checks or (close and hole.outcome != Outcome.STOPPED)),
        "may_check": hole.state == HoleState.FILLED and checks and not own,
        "may_reopen": hole.state != HoleState.DUG and checks,
        "may_add_photos": close or checks,
        "may_log_next": running and close,
        "may_record_find": running and close and hole.outcome == Outcome.FIND,
    }
