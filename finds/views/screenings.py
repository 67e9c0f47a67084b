"""One kept screening rule by rule, and the history of a find's screenings."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from finds.models import Find, ScreeningRecord
from finds.screening_page import history, screening_context
from finds.screens import reader_rights
from people.http import MemberRequest
from people.rights import Right, require

SHOWN = 20


@require_GET
def screening_detail(request: MemberRequest, pk: int) -> HttpResponse:
    """Every rule that was looked at: clause, answer, facts, count of days, and what would change it."""
    finds = Find.objects.visible_to(request.user)
    records = ScreeningRecord.objects.filter(find__in=finds).select_related("find__hunt", "find__site")
    record = get_object_or_404(records, pk=pk)
    if not reader_rights(record.find, request.user)["may_see_screening"]:
        require(request.user, Right.SEE_ALL_FINDS)
    return render(request, "finds/screening.html", screening_context(record))


@require_GET
def screening_list(request: MemberRequest, pk: int) -> HttpResponse:
    """How the answer about one find came to be what it is, screening by screening."""
    find = get_object_or_404(Find.objects.visible_to(request.user).select_related("hunt"), pk=pk)
    if not reader_rights(find, request.user)["may_see_screening"]:
        require(request.user, Right.SEE_ALL_FINDS)
    records = find.screenings.order_by("-at", "-pk")
    page = Paginator(records, SHOWN).get_page(request.GET.get("page"))
    one_more = list(records[page.start_index() - 1 : page.end_index() + 1]) if page.object_list else []
    rows = history(one_more)[: len(page.object_list)]
    return render(request, "finds/screening_list.html", {"find": find, "rows": rows, "page": page})
