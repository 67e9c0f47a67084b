"""The landholder's page: no account, one signed and revocable address, their own land only."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET, require_POST

from permissions.actions import link_used
from permissions.links import LinkError, open_link
from permissions.models import LandholderLink
from reports import actions
from reports.content import from_data
from reports.drafts import photo_in
from reports.forms import ConcernForm, ConfirmForm
from reports.landholder_page import own_permissions, page_context, pause_form, report_context, reports_for
from reports.models import IssuedReport, Kind, LandholderAnswer
from web.files import private_file
from web.states import IllegalMoveError


def by_link(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Open the link in the address first; an altered, revoked or expired one gets a plain page and 410."""

    @login_not_required
    @wraps(view)
    def opened(request: HttpRequest, key: str, **kwargs: Any) -> HttpResponseBase:
        try:
            link = open_link(key, at=now())
        except LinkError as error:
            return render(request, "reports/link_closed.html", {"why": str(error)}, status=410)
        return view(request, link, key, **kwargs)

    return opened


def _report(link: LandholderLink, pk: int) -> IssuedReport:
    return get_object_or_404(reports_for(link.landholder), pk=pk)


@by_link
@require_GET
def landholder(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    link_used(link, via="link", at=now())
    return render(request, "reports/landholder.html", page_context(link.landholder, key, at=now()))


@by_link
@require_GET
def landholder_report(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    context = report_context(_report(link, pk), link.landholder, key)
    return render(request, "reports/landholder_report.html", context)


@by_link
@require_GET
def landholder_report_pdf(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponseBase:
    row = _report(link, pk)
    return private_file(row.pdf, content_type="application/pdf", filename=f"{row.number}.pdf")


@by_link
@require_GET
def landholder_photo(
    request: HttpRequest, link: LandholderLink, key: str, pk: int, photo: str
) -> HttpResponseBase:
    """A photograph that stands in an issued report of theirs."""
    report = from_data(_report(link, pk).content)
    file = photo_in(report, photo)
    if file is None:
        raise Http404
    return private_file(file, content_type="image/jpeg", filename=f"{photo}.jpg")


@by_link
@require_POST
def landholder_confirm(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    row = get_object_or_404(reports_for(link.landholder), pk=pk, kind=Kind.RETURNS)
    form = ConfirmForm(request.POST)
    if not form.is_valid():
        context = report_context(row, link.landholder, key) | {"confirm_form": form}
        return render(request, "reports/landholder_report.html", context)
    values = form.cleaned_data
    actions.landholder_answers(
        link,
        LandholderAnswer.What(values["received"]),
        via="link",
        at=now(),
        client_id=values["client_id"],
        words=values["words"],
        signed_name=values["signed_name"],
        report=row,
    )
    messages.success(request, "Thank you. Your answer is kept with the date and the club sees it today.")
    return redirect("reports:landholder", key=key)


@by_link
@require_POST
def landholder_concern(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    form = ConcernForm(request.POST)
    if not form.is_valid():
        context = page_context(link.landholder, key, at=now()) | {"concern_form": form}
        return render(request, "reports/landholder.html", context)
    what = LandholderAnswer.What.CONCERN
    actions.landholder_answers(link, what, via="link", at=now(), **form.cleaned_data)
    messages.success(request, "Thank you. The club's secretary sees this today and answers you.")
    return redirect("reports:landholder", key=key)


@by_link
@require_POST
def landholder_pause(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    permission = get_object_or_404(own_permissions(link.landholder, localdate()), pk=pk)
    form = pause_form(pk, request.POST)
    if not form.is_valid():
        context = page_context(link.landholder, key, at=now(), tried={pk: form})
        return render(request, "reports/landholder.html", context)
    try:
        actions.landholder_pauses(link, permission, via="link", at=now(), **form.cleaned_data)
    except IllegalMoveError:
        messages.error(request, f"{permission.title} is not in force, so there is nothing to pause.")
    else:
        messages.success(
            request, "The permission is paused from now. Nobody will come until you and the club agree again."
        )
    return redirect("reports:landholder", key=key)
