"""Settlement sheets: the list, making one, the draft with its sums, sending, replacing, paying."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from finds.actions import change_sheet, make_sheet, record_payment, replace_sheet, take_off_sheet
from finds.models import Sheet
from finds.settlement import SettlementError
from finds.states import SheetState
from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.papers import drafts_sha256
from reports.pdf import render_pdf
from reports.settle_forms import ReasonForm, SheetForm, SheetMakeForm, SheetSendForm
from reports.sheet_page import (
    draft_context,
    drafted,
    finds_for,
    own_context,
    own_papers,
    paid_form,
    sent_context,
    sheet_rows,
)
from web.states import IllegalMoveError


def address_of(request: MemberRequest) -> Callable[[str], str]:
    """Makes the whole address of a signer's key."""
    return lambda key: request.build_absolute_uri(reverse("reports:by_paper", args=[key]))


@require_GET
def sheet_list(request: MemberRequest) -> HttpResponse:
    context = {
        "rows": sheet_rows(request.user),
        "papers": own_papers(request.user),
        "may_settle": request.user.holds(Right.SETTLE),
    }
    return render(request, "reports/sheets.html", context)


@require_http_methods(["GET", "POST"])
def sheet_new(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SETTLE)
    start = {name: request.GET[name] for name in ("basis", "hunt", "numbers") if name in request.GET}
    form = SheetMakeForm(request.POST or None, initial=start, user=request.user)
    if request.method == "POST" and form.is_valid():
        find_ids, title = finds_for(form.cleaned_data, request.user)
        key = form.cleaned_data["client_id"]
        try:
            sheet = make_sheet(find_ids, by=request.user, at=now(), client_id=key, title=title)
        except SettlementError as error:
            form.add_error(None, str(error))
        else:
            return redirect("reports:sheet", pk=sheet.pk)
    return render(request, "reports/sheet_new.html", {"form": form})


def _page(request: MemberRequest, sheet: Sheet, **forms: Any) -> HttpResponse:
    if sheet.sent_at is None:
        return render(request, "reports/sheet_draft.html", draft_context(sheet, on=localdate(), **forms))
    absolute = request.build_absolute_uri
    context = sent_context(sheet, at=now(), on=localdate(), absolute=absolute, **forms)
    return render(request, "reports/sheet.html", context)


def _sheet(request: MemberRequest, pk: int) -> Sheet:
    return get_object_or_404(Sheet.objects.visible_to(request.user).select_related("permission"), pk=pk)


@require_GET
def sheet(request: MemberRequest, pk: int) -> HttpResponse:
    row = _sheet(request, pk)
    if not request.user.holds(Right.SETTLE):
        return render(request, "reports/sheet_own.html", own_context(row, request.user))
    return _page(request, row)


@require_POST
def sheet_change(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    row = _sheet(request, pk)
    form = SheetForm(request.POST, sheet=row)
    if not form.is_valid():
        return _page(request, row, form=form)
    try:
        change_sheet(pk, by=request.user, at=now(), **form.values())
    except SettlementError as error:
        form.add_error(None, str(error))
        return _page(request, row, form=form)
    messages.success(request, _("Kept. The sums below are worked out anew."))
    return redirect("reports:sheet", pk=pk)


@require_POST
def sheet_take_off(request: MemberRequest, pk: int, find: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    _sheet(request, pk)
    try:
        take_off_sheet(pk, find, by=request.user, at=now())
    except SettlementError as error:
        messages.error(request, str(error))
    return redirect("reports:sheet", pk=pk)


@require_POST
def sheet_send(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    row = _sheet(request, pk)
    form = SheetSendForm(request.POST, auto_id="send-%s")
    drafts, problem = drafted(row, localdate()) if row.state == SheetState.DRAFT else ([], "")
    if problem or not form.is_valid():
        return _page(request, row, send_form=form)
    if drafts and request.POST.get("read_sha256") != drafts_sha256(drafts):
        messages.error(
            request, _("Something was changed since you read the sums. Read them again, then send.")
        )
        return redirect("reports:sheet", pk=pk)
    at, pdfs = now(), [render_pdf(draft.report, {}) for draft in drafts]
    when = {"at": at, "expires_at": at + timedelta(days=form.cleaned_data["days"])}
    try:
        actions.send_sheet(pk, drafts, pdfs, by=request.user, address_of=address_of(request), **when)
    except SettlementError as error:
        messages.error(request, str(error))
    return redirect("reports:sheet", pk=pk)


@require_POST
def sheet_replace(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    row = _sheet(request, pk)
    form = ReasonForm(request.POST, auto_id="why-%s")
    if not form.is_valid():
        return _page(request, row, reason_form=form)
    try:
        new = replace_sheet(pk, by=request.user, at=now(), why=form.cleaned_data["why"])
    except IllegalMoveError as error:
        messages.error(request, str(error))
        return redirect("reports:sheet", pk=pk)
    if new.pk == pk:
        messages.success(
            request,
            _("%(new_number)s is given up; its finds can stand on another sheet.")
            % {"new_number": new.number},
        )
        return redirect("reports:sheets")
    return redirect("reports:sheet", pk=new.pk)


@require_POST
def sheet_pay(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    row = _sheet(request, pk)
    form = paid_form(row, request.POST, localdate())
    if not form.is_valid():
        return _page(request, row, paid_form=form)
    values = dict(form.cleaned_data)
    payer, payee = values.pop("which").split(">")
    try:
        record_payment(pk, by=request.user, at=now(), payer=payer, payee=payee, **values)
    except SettlementError as error:
        form.add_error(None, str(error))
        return _page(request, row, paid_form=form)
    return redirect("reports:sheet", pk=pk)
