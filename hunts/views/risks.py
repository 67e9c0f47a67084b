"""The risk assessment of a hunt, site by site."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.risk import RiskLineForm, RiskStartForm
from hunts.models import Hunt, RiskAssessment, RiskLine
from hunts.risk_pages import risks_page
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require


@require_GET
def risks(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    return render(request, "hunts/risks.html", risks_page(hunt, request.user, on=localdate()))


@require_http_methods(["GET", "POST"])
def risk_start(request: MemberRequest, pk: int, site: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.PLAN_HUNT)
    ground = get_object_or_404(hunt.sites, pk=site)
    form = RiskStartForm(sent(request)[0], hunt=hunt, site=ground, by=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            actions.start_assessment(pk, ground, by=request.user, at=now(), **form.cleaned_data)
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("Started. Walk the ground, adapt each line, then agree."))
            return redirect("hunts:risks", pk=pk)
    return render(request, "hunts/risk_start.html", {"form": form, "hunt": hunt, "site": ground})


@require_http_methods(["GET", "POST"])
def risk_add(request: MemberRequest, pk: int) -> HttpResponse:
    rows = RiskAssessment.objects.visible_to(request.user).select_related("hunt", "site")
    row = get_object_or_404(rows, pk=pk)
    require(request.user, Right.PLAN_HUNT)
    form = RiskLineForm(sent(request)[0])
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            actions.add_risk(pk, by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            return redirect("hunts:risks", pk=row.hunt_id)
    return render(request, "hunts/risk_line_form.html", {"form": form, "assessment": row})


@require_http_methods(["GET", "POST"])
def risk_edit(request: MemberRequest, pk: int) -> HttpResponse:
    lines = RiskLine.objects.visible_to(request.user).select_related("assessment__hunt", "assessment__site")
    line = get_object_or_404(lines, pk=pk)
    require(request.user, Right.PLAN_HUNT)
    form = RiskLineForm(sent(request)[0], instance=line)
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_risk(pk, by=request.user, at=now(), **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            return redirect("hunts:risks", pk=line.assessment.hunt_id)
    context = {"form": form, "assessment": line.assessment, "line": line}
    return render(request, "hunts/risk_line_form.html", context)


@require_POST
def risk_remove(request: MemberRequest, pk: int) -> HttpResponse:
    lines = RiskLine.objects.visible_to(request.user).select_related("assessment")
    line = get_object_or_404(lines, pk=pk)
    with saying_errors(request):
        actions.remove_risk(pk, by=request.user, at=now())
        messages.success(request, _("Taken off: %(line_hazard)s.") % {"line_hazard": line.hazard})
    return redirect("hunts:risks", pk=line.assessment.hunt_id)


@require_POST
def risk_agree(request: MemberRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(RiskAssessment.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.agree_assessment(pk, by=request.user, at=now())
        messages.success(request, _("Agreed. It is read out with the briefing."))
    return redirect("hunts:risks", pk=row.hunt_id)
