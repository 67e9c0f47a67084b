"""Plan the sweep of a hunt, and take its lanes along."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.ground import GroundPlanForm, typed
from hunts.lane_files import lanes_file, lanes_svg, sheets_page
from hunts.lane_page import lanes_page
from hunts.models import Hunt
from hunts.plan_page import ground_plan_page, may_change_plan, plan_of
from hunts.views.said import sent
from people.http import MemberRequest
from people.rights import Right, require
from web.files import plain_filename


def _hunt(request: MemberRequest, pk: int) -> Hunt:
    rows = Hunt.objects.visible_to(request.user).select_related("permission", "leader")
    return get_object_or_404(rows, pk=pk)


@require_http_methods(["GET", "POST"])
def ground_plan(request: MemberRequest, pk: int) -> HttpResponse:
    """What the day will cover, for everybody who sees the hunt; planners change the numbers."""
    hunt = _hunt(request, pk)
    plan = plan_of(hunt)
    form = GroundPlanForm(sent(request)[0], initial=typed(plan))
    if request.method == "POST":
        require(request.user, Right.PLAN_HUNT)
        if form.is_valid():
            try:
                actions.set_ground_plan(pk, by=request.user, at=now(), **form.columns())
            except HuntError as error:
                form.add_error(None, str(error))
            else:
                messages.success(request, _("The plan is kept."))
                return redirect("hunts:ground_plan", pk=pk)
    shown = form if may_change_plan(hunt, request.user) else None
    context = {**ground_plan_page(hunt, plan, request.user), "form": shown}
    return render(request, "hunts/ground_plan.html", context)


@require_GET
def lanes(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = _hunt(request, pk)
    site = request.GET.get("site", "")
    return render(request, "hunts/lanes.html", lanes_page(hunt, plan_of(hunt), request.user, site))


@require_GET
def lanes_sheets(request: MemberRequest, pk: int) -> HttpResponse:
    """Sheets to print: everybody's for those who run hunts, one's own for members."""
    hunt = _hunt(request, pk)
    site = request.GET.get("site", "")
    return render(request, "hunts/lanes_sheets.html", sheets_page(hunt, plan_of(hunt), request.user, site))


@require_GET
def lanes_gpx(request: MemberRequest, pk: int) -> HttpResponse:
    """GPX routes: `?person=everybody` for all lanes, a primary key for theirs, nothing for one's own."""
    hunt, person = _hunt(request, pk), request.GET.get("person", "")
    site = request.GET.get("site", "")
    made = lanes_file(hunt, plan_of(hunt), request.user, site=site, person=person, at=now())
    if made is None:
        raise Http404(_("There are no lanes to take along."))
    headers = {"Content-Disposition": f'attachment; filename="{plain_filename(made[1])}"'}
    return HttpResponse(made[0], content_type="application/gpx+xml; charset=utf-8", headers=headers)


@require_GET
def lanes_map(request: MemberRequest, pk: int) -> HttpResponse:
    """One person's lanes as a drawing for paper."""
    hunt, asked = _hunt(request, pk), request.GET
    drawing = lanes_svg(hunt, plan_of(hunt), request.user, asked.get("site", ""), asked.get("person", ""))
    if drawing is None:
        raise Http404(_("There are no lanes to draw."))
    return HttpResponse(drawing, content_type="image/svg+xml; charset=utf-8")
