"""The list of hunts and the page of one."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET

from hunts import maps, screens
from hunts.models import Attendance, Hunt
from hunts.states import HoleState, HuntState
from people.http import MemberRequest
from people.rights import Right


@require_GET
def hunt_list(request: MemberRequest) -> HttpResponse:
    visible, today = Hunt.objects.visible_to(request.user), localdate()
    past = request.GET.get("when") == "past"
    hunts = visible.past(today) if past else visible.coming(today)
    page = Paginator(screens.with_places(hunts, request.user), 50).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": screens.hunt_rows(page),
        "past": past,
        "may_plan": request.user.holds(Right.PLAN_HUNT),
    }
    return render(request, "hunts/list.html", context)


@require_GET
def detail(request: MemberRequest, pk: int) -> HttpResponse:
    user, at = request.user, now()
    hunt = get_object_or_404(
        Hunt.objects.visible_to(user).select_related("leader", "permission", "closed_by"), pk=pk
    )
    mine = screens.my_standing(hunt, user)
    holes = list(screens.holes_seen(hunt, user))
    rows = screens.hole_rows(holes, user)
    unfilled = [row for row in rows if row["hole"].state == HoleState.DUG]
    allowed = screens.may(hunt, user, mine, at=at)
    context = {
        **allowed,
        **screens.gate_shown(hunt, user, at=at),
        **_words(hunt),
        "hunt": hunt,
        "mine": mine,
        "sites": [row.site for row in hunt.hunt_sites.select_related("site")],
        "my_holes": [row for row in rows if row["hole"].digger_id == user.pk],
        "unfilled": unfilled,
        "holes_total": len(rows),
        "roll": screens.roll(hunt, user, at=at) if allowed["may_run"] else None,
        "features": maps.with_holes(hunt, holes, user),
    }
    return render(request, "hunts/detail.html", context)


def _words(hunt: Hunt) -> dict[str, object]:
    """The state in words, places, and people still out after a hunt was called off."""
    state = HuntState(hunt.state)
    taken = hunt.sign_ups.standing().count()
    return {
        "status": screens.STATE_STATUS[state],
        "state_words": screens.STATE_WORDS[state],
        "taken": taken,
        "free": max(0, hunt.capacity - taken),
        "waiting": hunt.sign_ups.waiting().count(),
        "still_out": Attendance.objects.out().filter(sign_up__hunt=hunt).count(),
    }
