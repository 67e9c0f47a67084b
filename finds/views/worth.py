"""What a find is worth and what becomes of it."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds import actions
from finds.forms.worth import FateForm, ValuationForm
from finds.models import Find
from finds.settlement import SettlementError
from finds.worth_page import may_see_worth, worth_context
from people.http import MemberRequest
from people.rights import Right, require


def _page(request: MemberRequest, find: Find, **forms: Any) -> HttpResponse:
    correct = request.GET.get("correct", "")
    context = worth_context(find, request.user, today=localdate(), correct=correct, **forms)
    return render(request, "finds/worth.html", context)


def _find(request: MemberRequest, pk: int) -> Find:
    rows = Find.objects.visible_to(request.user).select_related("finder", "hunt", "site")
    return get_object_or_404(rows, pk=pk)


@require_GET
def worth(request: MemberRequest, pk: int) -> HttpResponse:
    find = _find(request, pk)
    if not may_see_worth(find, request.user):
        raise PermissionDenied(_("What a find is worth is shown to its finder and to those who settle."))
    return _page(request, find)


@require_POST
def valuation_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    find = _find(request, pk)
    form = ValuationForm(request.POST, today=localdate())
    if not form.is_valid():
        return _page(request, find, form=form)
    try:
        actions.add_valuation(pk, by=request.user, at=now(), **form.cleaned_data)
    except SettlementError as error:
        form.add_error(None, str(error))
        return _page(request, find, form=form)
    return redirect("finds:worth", pk=pk)


@require_POST
def fate_add(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    find = _find(request, pk)
    form = FateForm(request.POST, find=find, today=localdate())
    if not form.is_valid():
        return _page(request, find, fate_form=form)
    try:
        actions.set_fate(pk, by=request.user, at=now(), **form.cleaned_data)
    except SettlementError as error:
        form.add_error(None, str(error))
        return _page(request, find, fate_form=form)
    return redirect("finds:worth", pk=pk)
