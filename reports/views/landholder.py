"""The landholder's page: no account, one signed and revocable address, their own land only."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET

from permissions.actions import link_used
from permissions.models import LandholderLink
from reports.content import from_data
from reports.drafts import photo_in
from reports.landholder_finds import photo_for
from reports.landholder_page import may_read, page_context, report_context, reports_for
from reports.landholder_papers import papers_context
from reports.landholder_scope import scope_of
from reports.models import IssuedReport
from reports.views.link_door import by_code, by_link
from web.files import private_file

SIZES = {"small": "thumb", "full": "display"}


def issued_to(link: LandholderLink, pk: int, **narrower: Any) -> IssuedReport:
    """A report of theirs that their capacity lets them read, or 404."""
    row = get_object_or_404(reports_for(link.landholder), pk=pk, **narrower)
    if not may_read(scope_of(link.landholder), row, localdate()):
        raise Http404
    return row


@by_link
@require_GET
def landholder(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    link_used(link, via="link", at=now())
    everything = request.GET.get("show") == "all"
    context = page_context(link.landholder, key, at=now(), everything=everything)
    return render(request, "reports/landholder.html", context)


@by_link
@require_GET
def landholder_report(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponse:
    context = report_context(issued_to(link, pk), link.landholder, key)
    return render(request, "reports/landholder_report.html", context)


@by_link
@require_GET
def landholder_report_pdf(request: HttpRequest, link: LandholderLink, key: str, pk: int) -> HttpResponseBase:
    row = issued_to(link, pk)
    return private_file(row.pdf, content_type="application/pdf", filename=f"{row.number}.pdf")


@by_link
@require_GET
def landholder_photo(
    request: HttpRequest, link: LandholderLink, key: str, pk: int, photo: str
) -> HttpResponseBase:
    """A photograph that stands in an issued report of theirs."""
    report = from_data(issued_to(link, pk).content)
    file = photo_in(report, photo)
    if file is None:
        raise Http404
    return private_file(file, content_type="image/jpeg", filename=f"{photo}.jpg")


@by_link
@require_GET
def landholder_find_photo(
    request: HttpRequest, link: LandholderLink, key: str, pk: int, size: str
) -> HttpResponseBase:
    """A photograph of a find from their ground, without anything a camera wrote into it."""
    photo = photo_for(scope_of(link.landholder), pk)
    if photo is None or size not in SIZES:
        raise Http404
    file = getattr(photo, SIZES[size])
    return private_file(file, content_type="image/jpeg", filename=f"{photo.find.number}.jpg")


@by_code
@require_GET
def landholder_papers(request: HttpRequest, link: LandholderLink, key: str) -> HttpResponse:
    """Settlements and other papers that they are asked to sign, with their addresses; always behind a code."""
    return render(request, "reports/landholder_papers.html", papers_context(link.landholder, key, at=now()))
