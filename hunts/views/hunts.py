"""The list of hunts and the page of one."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET

from hunts import screens
from hunts.models import Hunt
from hunts.pages import hunt_page
from people.http import MemberRequest
from people.rights import Right
from web.paging import A_PAGE


@require_GET
def hunt_list(request: MemberRequest) -> HttpResponse:
    visible, today = Hunt.objects.visible_to(request.user), localdate()
    past = request.GET.get("when") == "past"
    hunts = visible.past(today) if past else visible.coming(today)
    page = Paginator(screens.with_places(hunts, request.user), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": screens.hunt_rows(page),
        "past": past,
        "may_add_past": request.user.holds(Right.MANAGE_PERMISSIONS),
        "may_plan": request.user.holds(Right.PLAN_HUNT),
    }
    return render(request, "hunts/list.html", context)


@require_GET
def detail(request: MemberRequest, pk: int) -> HttpResponse:
    hunts = Hunt.objects.visible_to(request.user).select_related("leader", "permission", "closed_by")
    hunt = get_object_or_404(hunts, pk=pk)
    return render(request, "hunts/detail.html", hunt_page(hunt, request.user, at=now()))
