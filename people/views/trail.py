"""The audit trail, looked through."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from people.http import MemberRequest
from people.rights import Right, require
from people.trail_search import TrailPage, TrailSearchForm, found, page_of


@require_GET
def audit_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_AUDIT)
    form = TrailSearchForm(request.GET, by=request.user)
    page = page_of(found(form.cleaned_data), request.GET) if form.is_valid() else TrailPage()
    return render(request, "people/audit_list.html", {"form": form, "page": page, "asked": form.asked()})
