"""The question to the gate: which fields are open on a day, and a site's whole year."""

from datetime import date

from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from people.http import MemberRequest
from people.rights import Right, require
from permissions.forms import DayForm, VisitForm, question
from permissions.land_page import gate_context, year_context
from permissions.models import Site


@require_GET
def gate(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_ALL_LAND)
    form = VisitForm(question(request.GET, on=localdate()), initial={"on": localdate()})
    asked = dict(form.cleaned_data) if form.is_valid() else {}
    on: date = asked.pop("on", None) or localdate()
    context = gate_context(request.user, on=on, page=request.GET.get("page"), decided_at=now(), **asked)
    return render(request, "permissions/gate.html", context | {"form": form})


@require_GET
def site_calendar(request: MemberRequest, pk: int) -> HttpResponse:
    site = get_object_or_404(Site.objects.visible_to(request.user).defer("boundary"), pk=pk)
    if not request.user.holds(Right.SEE_ALL_LAND):
        raise PermissionDenied(_("You may not see the calendar of a permission."))
    form = DayForm(request.GET or None)
    asked = form.cleaned_data if form.is_valid() else {}
    first = (asked.get("on") or localdate()).replace(day=1)
    context = year_context(request.user, site, first=first, heads=asked.get("heads"))
    return render(request, "permissions/site_calendar.html", context | {"form": form})
