"""The steward: the walk, looking again on grass, scrap."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.steward import RecheckForm, ScrapForm
from hunts.models import Hole, Hunt
from hunts.rechecks import rechecks_due
from hunts.steward_pages import recheck_rows, walk_page
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require
from web.paging import A_PAGE


@require_GET
def walk(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.CHECK_HOLES)
    return render(request, "hunts/walk.html", walk_page(hunt, request.user))


@require_POST
def walk_mark(request: MemberRequest, pk: int) -> HttpResponse:
    """Fill or check a hole and go on along the walk."""
    hole = get_object_or_404(Hole.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.CHECK_HOLES)
    with saying_errors(request):
        if request.POST.get("do") == "check":
            actions.check_hole(pk, by=request.user, at=now())
            messages.success(request, _("Hole %(hole_number)s is checked.") % {"hole_number": hole.number})
        else:
            actions.fill_hole(pk, by=request.user, at=now())
            messages.success(request, _("Hole %(hole_number)s is filled.") % {"hole_number": hole.number})
    return redirect(f"{reverse('hunts:walk', args=[hole.hunt_id])}#list")


@require_GET
def recheck_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.CHECK_HOLES)
    at = now()
    page = Paginator(rechecks_due(request.user, at), A_PAGE).get_page(request.GET.get("page"))
    rows = recheck_rows(list(page), request.user, at)
    return render(request, "hunts/recheck_list.html", {"page": page, "rows": rows})


@require_http_methods(["GET", "POST"])
def recheck(request: MemberRequest, pk: int) -> HttpResponse:
    rows = Hole.objects.visible_to(request.user).select_related("hunt", "site", "digger")
    hole = get_object_or_404(rows, pk=pk)
    require(request.user, Right.CHECK_HOLES)
    form = RecheckForm(sent(request)[0])
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.recheck_hole(pk, by=request.user, at=now(), **form.cleaned_data)
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            said = _("is sound") if row.sound else _("is open again; its digger sees why")
            messages.success(
                request, _("Hole %(hole_number)s %(said)s.") % {"hole_number": hole.number, "said": said}
            )
            return redirect("hunts:recheck_list")
    return render(request, "hunts/recheck_form.html", {"form": form, "hole": hole})


@require_http_methods(["GET", "POST"])
def scrap(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.RUN_HUNT)
    form = ScrapForm(sent(request)[0], initial={"scrap_kg": hunt.scrap_kg})
    if request.method == "POST" and form.is_valid():
        try:
            actions.weigh_scrap(pk, by=request.user, at=now(), **form.cleaned_data)
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The weight is kept."))
            return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/scrap.html", {"form": form, "hunt": hunt})
