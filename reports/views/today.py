"""The front page: what needs me."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.timezone import localdate, now
from django.views.decorators.http import require_GET

from people.http import MemberRequest
from reports.checklist import checklist_for, is_over
from reports.today import today_for


@require_GET
def today(request: MemberRequest) -> HttpResponse:
    groups = today_for(request.user, at=now()) if request.user.roles else []
    steps = checklist_for(request.user, on=localdate())
    context = {
        "urgent": [group for group in groups if group.duty],
        "groups": [group for group in groups if not group.duty],
        "today": localdate(),
        "member": bool(request.user.roles),
        "steps": [] if is_over(steps) else steps,
    }
    return render(request, "reports/today.html", context)
