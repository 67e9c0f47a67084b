"""What the club still has to set up: the whole list, and putting a step aside."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from reports import actions
from reports.checklist import KEYS, checklist_for, is_over
from reports.set_up_forms import NotNeededForm


@require_GET
def set_up(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    lines = checklist_for(request.user, on=localdate())
    return render(request, "reports/set_up.html", {"lines": lines, "is_over": is_over(lines)})


@require_http_methods(["GET", "POST"])
def not_needed(request: MemberRequest, step: str) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    if step not in KEYS:
        raise Http404
    form = NotNeededForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.put_step_aside(step, why=form.cleaned_data["why"], by=request.user, at=now())
        words = _("“%(step)s” no longer stands on Today. It can be taken up again here.")
        messages.success(request, words % {"step": KEYS[step].title})
        return redirect("reports:set_up")
    return render(request, "reports/set_up_aside.html", {"form": form, "step": KEYS[step]})


@require_POST
def needed(request: MemberRequest, step: str) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    actions.take_step_up(step, by=request.user, at=now())
    return redirect("reports:set_up")
