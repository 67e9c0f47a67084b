"""The heritage section: the board of clocks, one case, and the copy of a report."""

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from finds import actions
from finds.case_board import board_context
from finds.case_page import case_context
from finds.models import Case, CaseReport
from people.http import MemberRequest
from people.rights import Right, require
from permissions.evidence import content_type_of
from web.files import private_file


@require_GET
def case_list(request: MemberRequest) -> HttpResponse:
    return render(request, "finds/case_list.html", board_context(request.user, request.GET, at=now()))


@require_GET
def case_detail(request: MemberRequest, pk: int) -> HttpResponse:
    case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    return render(request, "finds/case_detail.html", case_context(case, request.user, at=now()))


@require_GET
def case_copy(request: MemberRequest, pk: int) -> FileResponse:
    """The copy kept with a report: for the committee and whoever recorded it. It may name the findspot."""
    cases = Case.objects.visible_to(request.user)
    row = get_object_or_404(CaseReport.objects.filter(case__in=cases).exclude(file=""), pk=pk)
    if row.by_id != request.user.pk:
        require(request.user, Right.REVIEW_CASES)
    try:
        stream = row.file.open("rb")
    except FileNotFoundError as error:
        raise Http404(_("The file is not in the store any more.")) from error
    actions.see_findspots(
        row.case.finds.filter(locked=True), by=request.user, at=now(), where="copy of a report"
    )
    return private_file(stream, content_type=content_type_of(row.file.name or ""), filename=row.file_name)
