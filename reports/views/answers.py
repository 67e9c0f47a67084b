"""What landholders said, and the club's answer to each."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.views.decorators.http import require_GET, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.forms import SettleForm
from reports.models import LandholderAnswer
from web.paging import A_PAGE


@require_GET
def answers(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    rows = LandholderAnswer.objects.select_related(
        "landholder", "report", "permission", "settled__settled_by"
    )
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "reports/answers.html", {"page": page, "form": SettleForm(auto_id=False)})


@require_POST
def concern_settle(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    answer = get_object_or_404(LandholderAnswer, pk=pk)
    form = SettleForm(request.POST)
    if not form.is_valid():
        rows = LandholderAnswer.objects.filter(pk=answer.pk).select_related(
            "landholder", "report", "permission"
        )
        return render(
            request, "reports/answers.html", {"page": Paginator(rows, A_PAGE).get_page(1), "form": form}
        )
    actions.concern_settled(pk, by=request.user, at=now(), words=form.cleaned_data["words"])
    return redirect("reports:answers")
