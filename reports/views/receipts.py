"""Receipts and return slips as PDF, for the club and through the other side's address."""

from io import BytesIO

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils.timezone import localdate, localtime
from django.views.decorators.http import require_GET

from finds.models import HandOver, HandOverLink
from finds.views.hand_over_link import by_key
from people.http import MemberRequest
from reports.build.receipt import receipt_report
from reports.drafts import photos_of
from reports.pdf import render_pdf
from web.files import private_file


def _pdf(row: HandOver) -> HttpResponseBase:
    """Dated on the day it ended, so that a receipt printed again is the same."""
    on = localtime(row.ended_at).date() if row.ended_at else localdate()
    report = receipt_report(row, on=on)
    pdf = render_pdf(report, photos_of(report))
    return private_file(BytesIO(pdf), content_type="application/pdf", filename=f"{row.number}.pdf")


@require_GET
def receipt(request: MemberRequest, pk: int) -> HttpResponseBase:
    return _pdf(get_object_or_404(HandOver.objects.visible_to(request.user), pk=pk))


@by_key
@require_GET
def receipt_by_key(request: HttpRequest, link: HandOverLink, code: str) -> HttpResponseBase:
    return _pdf(link.hand_over)
