"""Who looked at locked findspots, and what unusual reading was for."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds.forms.looks import AnswerForm
from finds.looks_page import looks_context
from people.actions import ReadingError, answer_reading
from people.http import MemberRequest
from people.models import UnusualReading
from people.rights import Right, require


@require_GET
def look_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_AUDIT)
    return render(request, "finds/look_list.html", looks_context(request.user, request.GET))


@require_POST
def answer(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.SEE_AUDIT)
    get_object_or_404(UnusualReading, pk=pk)
    form = AnswerForm(request.POST, auto_id=f"answer-{pk}-%s")
    if not form.is_valid():
        context = looks_context(request.user, request.GET, form, about=pk)
        return render(request, "finds/look_list.html", context)
    try:
        answer_reading(pk, by=request.user, at=now(), words=form.cleaned_data["words"])
    except ReadingError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("What it was is kept."))
    return redirect("finds:look_list")
