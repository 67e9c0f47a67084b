"""Visits to the officer with finds of several people: list, plan, papers, how it went."""

from io import BytesIO

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds.actions import CustodyError
from finds.points import all_shown_to
from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.actions import OfficerVisitError
from reports.build.officer_visit import visit_papers
from reports.models import OfficerVisit
from reports.officer_visit_forms import CallOffForm, OfficerVisitForm, WentForm
from reports.officer_visit_page import candidates, item_rows, items_of, officer_contacts, the_club
from reports.pdf import render_pdf
from reports.states import OfficerVisitState
from web.files import private_file
from web.paging import A_PAGE
from web.states import IllegalMoveError


@require_GET
def officer_visits(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    rows = OfficerVisit.objects.visible_to(request.user)
    context = {
        "planned": [(row, row.is_late(localdate())) for row in rows.planned()],
        "page": Paginator(rows.exclude(state=OfficerVisitState.PLANNED), A_PAGE).get_page(
            request.GET.get("page")
        ),
    }
    return render(request, "reports/officer_visits.html", context)


@require_http_methods(["GET", "POST"])
def officer_visit_plan(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MOVE_CUSTODY)
    form = OfficerVisitForm(
        request.POST or None,
        initial={"on": localdate(), "finds": request.GET.getlist("find")},
        candidates=candidates(request.user),
        contacts=officer_contacts(),
        user=request.user,
    )
    if request.method == "POST" and form.is_valid():
        details = dict(form.cleaned_data)
        try:
            row = actions.plan_officer_visit(details.pop("find_ids"), by=request.user, at=now(), **details)
        except OfficerVisitError as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("%(row_number)s is planned. Print the papers and take them along.")
                % {"row_number": row.number},
            )
            return redirect("reports:officer_visit", pk=row.pk)
    return render(request, "reports/officer_visit_plan.html", {"form": form})


def _visit(request: MemberRequest, pk: int) -> OfficerVisit:
    require(request.user, Right.MOVE_CUSTODY)
    rows = OfficerVisit.objects.visible_to(request.user).select_related("planned_by", "ended_by")
    return get_object_or_404(rows, pk=pk)


def _page(request: MemberRequest, row: OfficerVisit, **forms: object) -> HttpResponse:
    items = items_of(row)
    context = {
        "visit": row,
        "rows": item_rows(items),
        "planned": row.state == OfficerVisitState.PLANNED,
        "late": row.is_late(localdate()),
        "went": WentForm(items=items, auto_id="went-%s"),
        "off": CallOffForm(auto_id="off-%s"),
        "may_give_places": request.user.holds(Right.SEE_LOCKED_FINDSPOTS),
    }
    return render(request, "reports/officer_visit.html", context | forms)


@require_GET
def officer_visit(request: MemberRequest, pk: int) -> HttpResponse:
    return _page(request, _visit(request, pk))


@require_GET
def officer_visit_papers(request: MemberRequest, pk: int) -> HttpResponseBase:
    row = _visit(request, pk)
    items = items_of(row)
    places = None
    if request.GET.get("places") == "1":
        require(request.user, Right.SEE_LOCKED_FINDSPOTS)
        finds = [item.find for item in items]
        places = all_shown_to(finds, request.user, at=now(), where="list for the officer")
    report = visit_papers(row, items, club=the_club(), on=localdate(), places=places)
    pdf = BytesIO(render_pdf(report, {}))
    return private_file(pdf, content_type="application/pdf", filename=f"{row.number}.pdf")


@require_POST
def officer_visit_went(request: MemberRequest, pk: int) -> HttpResponse:
    row = _visit(request, pk)
    form = WentForm(request.POST, items=items_of(row), auto_id="went-%s")
    if not form.is_valid():
        return _page(request, row, went=form)
    said = {"conditions": form.said("condition"), "left": form.said("left")}
    try:
        evidence = form.cleaned_data["evidence"]
        actions.record_officer_visit(pk, by=request.user, at=now(), evidence=evidence, **said)
    except (OfficerVisitError, CustodyError, IllegalMoveError) as error:
        form.add_error(None, str(error))
        return _page(request, row, went=form)
    messages.success(
        request,
        _("%(row_number)s is recorded; custody says where each find is now.") % {"row_number": row.number},
    )
    return redirect("reports:officer_visit", pk=pk)


@require_POST
def officer_visit_off(request: MemberRequest, pk: int) -> HttpResponse:
    row = _visit(request, pk)
    form = CallOffForm(request.POST, auto_id="off-%s")
    if not form.is_valid():
        return _page(request, row, off=form)
    try:
        actions.call_off_officer_visit(pk, by=request.user, at=now(), why=form.cleaned_data["why"])
    except IllegalMoveError as error:
        messages.error(request, str(error))
    return redirect("reports:officer_visit", pk=pk)
