"""The heritage section: the board of clocks, one case, and every move."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET, require_POST

from finds import actions
from finds.case_page import case_context
from finds.forms import DecideForm, MoveForm, NoteForm, ReportedForm
from finds.models import Case
from finds.states import CaseState
from people.http import MemberRequest
from people.rights import Right, require
from web.forms import BaseForm
from web.states import IllegalMoveError


@require_GET
def case_list(request: MemberRequest) -> HttpResponse:
    cases = Case.objects.visible_to(request.user)
    rest = cases.exclude(pk__in=cases.running().values("pk")).prefetch_related("finds")
    context = {
        "running": [
            {"case": case, "finds": ", ".join(str(find) for find in case.finds.all())}
            for case in cases.running().prefetch_related("finds")[:200]
        ],
        "page": Paginator(rest.order_by("-opened_at", "-pk"), 50).get_page(request.GET.get("page")),
        "today": localdate(),
        "may_review": request.user.holds(Right.REVIEW_CASES),
    }
    return render(request, "finds/case_list.html", context)


@require_GET
def case_detail(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    return render(request, "finds/case_detail.html", case_context(case, request.user, at=now()))


def _again(request: MemberRequest, case: Case, form: BaseForm) -> HttpResponse:
    """The case page once more, with what was typed and why it was not taken."""
    for errors in form.errors.values():
        for error in errors:
            messages.error(request, str(error))
    context = case_context(case, request.user, at=now()) | {type(form).__name__.lower(): form}
    return render(request, "finds/case_detail.html", context)


@require_POST
def case_move(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.REVIEW_CASES)
    form = MoveForm(request.POST)
    if not form.is_valid() or form.cleaned_data["to"] not in set(CaseState):
        return _again(request, case, form)
    try:
        to = CaseState(form.cleaned_data["to"])
        actions.move_case(pk, to, by=request.user, at=now(), words=form.cleaned_data["words"])
    except IllegalMoveError as error:
        messages.error(request, str(error))
    return redirect("finds:case_detail", pk=pk)


@require_POST
def case_report(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    form = ReportedForm(request.POST, today=localdate())
    if not form.is_valid():
        return _again(request, case, form)
    try:
        actions.case_reported(pk, by=request.user, at=now(), **form.cleaned_data)
    except IllegalMoveError as error:
        messages.error(request, str(error))
    return redirect("finds:case_detail", pk=pk)


@require_POST
def case_decide(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.REVIEW_CASES)
    form = DecideForm(request.POST)
    if not form.is_valid():
        return _again(request, case, form)
    try:
        actions.decide_case(pk, by=request.user, at=now(), **form.cleaned_data)
    except IllegalMoveError as error:
        messages.error(request, str(error))
    return redirect("finds:case_detail", pk=pk)


@require_POST
def case_note(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    form = NoteForm(request.POST)
    if not form.is_valid():
        return _again(request, case, form)
    actions.add_note(case, by=request.user, at=now(), words=form.cleaned_data["words"])
    return redirect("finds:case_detail", pk=pk)
