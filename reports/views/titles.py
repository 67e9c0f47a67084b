"""Titles to one find, and what the secretary does for a signer: take an address back, renew it, record a hand."""

from datetime import timedelta
from functools import partial

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds.models import Find
from finds.settlement import SettlementError
from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.actions import AgreementError
from reports.build.title import title_report
from reports.drafts import photos_of
from reports.models import PaperSigner
from reports.paper_page import title_people, title_signers, titles_context
from reports.papers import club_name, read_find, title_number
from reports.pdf import render_pdf
from reports.title_forms import HandSignedForm, TitleForm
from reports.views.sheets import address_of

RENEWED_FOR = timedelta(days=30)


@require_GET
def titles(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    context = titles_context(pk, None, at=now(), absolute=request.build_absolute_uri)
    return render(request, "reports/titles.html", context)


def _again(request: MemberRequest, pk: int, form: TitleForm) -> HttpResponse:
    context = titles_context(pk, form, at=now(), absolute=request.build_absolute_uri)
    return render(request, "reports/titles.html", context)


@require_POST
def title_make(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SETTLE)
    get_object_or_404(Find.objects.visible_to(request.user), pk=pk)
    find, at = read_find(pk), now()
    form = TitleForm(request.POST, people=title_people(find))
    if not form.is_valid():
        return _again(request, pk, form)
    given = form.given()
    number = title_number(find, given["kind"])
    report = title_report(find, given, club_name(), number=number, on=localdate(at))
    pdf, signers = render_pdf(report, photos_of(report)), title_signers(form, find, request.user)
    key, until = form.cleaned_data["client_id"], at + timedelta(days=form.cleaned_data["days"])
    asked_by = partial(actions.send_title, by=request.user, at=at, client_id=key, expires_at=until)
    try:
        asked_by(pk, given, report, pdf, signers, address_of=address_of(request))
    except SettlementError as error:
        form.add_error(None, str(error))
        return _again(request, pk, form)
    return redirect("reports:titles", pk=pk)


def _signer(request: MemberRequest, pk: int) -> PaperSigner:
    require(request.user, Right.SETTLE)
    rows = PaperSigner.objects.visible_to(request.user).select_related("paper")
    return get_object_or_404(rows, pk=pk)


def _back(row: PaperSigner) -> HttpResponse:
    if row.paper.sheet_id is not None:
        return redirect("reports:sheet", pk=row.paper.sheet_id)
    return redirect("reports:titles", pk=row.paper.find_id)


@require_POST
def signer_revoke(request: MemberRequest, pk: int) -> HttpResponse:
    row = _signer(request, pk)
    actions.revoke_signer(pk, by=request.user, at=now())
    messages.success(
        request, _("The address of %(row_name)s no longer opens anything.") % {"row_name": row.name}
    )
    return _back(row)


@require_POST
def signer_renew(request: MemberRequest, pk: int) -> HttpResponse:
    row, at = _signer(request, pk), now()
    actions.renew_signer(pk, by=request.user, at=at, expires_at=at + RENEWED_FOR)
    messages.success(
        request,
        _("The address of %(row_name)s works for %(renewed_for_days)s days more.")
        % {"row_name": row.name, "renewed_for_days": RENEWED_FOR.days},
    )
    return _back(row)


@require_POST
def signer_by_hand(request: MemberRequest, pk: int) -> HttpResponse:
    row = _signer(request, pk)
    form = HandSignedForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Give the name as signed, and say where that paper is kept."))
        return _back(row)
    try:
        actions.signed_on_paper(pk, by=request.user, at=now(), **form.cleaned_data)
    except AgreementError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request,
            _("Recorded: %(row_name)s signed %(paper_number)s on paper.")
            % {"row_name": row.name, "paper_number": row.paper.number},
        )
    return _back(row)
