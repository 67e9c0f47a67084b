"""Patterns in the finds, for those who may see findspots."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from finds.forms import FindFilterForm
from finds.patterns_page import patterns_context
from people.http import MemberRequest
from people.rights import Right, require


@require_GET
def find_patterns(request: MemberRequest) -> HttpResponse:
    """Counts name no place, but a surface is drawn from where each find lay."""
    require(request.user, Right.SEE_FINDSPOTS)
    form = FindFilterForm(request.GET, user=request.user)
    context = patterns_context(request.user, form.asked, request.GET.get("page"))
    return render(request, "finds/patterns.html", {**context, "form": form})
