"""The list of land, one site, and changes to it."""

from datetime import date
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from people.http import MemberRequest
from people.models import Club
from people.rights import Right, require
from permissions import actions
from permissions.forms import BoundaryForm, BoundaryMixin, DayForm, NewSiteForm, SiteForm, question
from permissions.import_page import look_context
from permissions.land_page import list_context
from permissions.maps import drawing_board
from permissions.models import Site
from permissions.site_page import overlap_words, site_context
from permissions.views._page import form_page, say
from web.taken import TakenError


@require_GET
def site_list(request: MemberRequest) -> HttpResponse:
    form = DayForm(question(request.GET, on=localdate()), initial={"on": localdate()})
    asked = form.cleaned_data if form.is_valid() else {}
    context = list_context(
        request.user,
        on=asked.get("on") or localdate(),
        heads=asked.get("heads"),
        wanted=asked.get("q", ""),
        page=request.GET.get("page"),
    )
    return render(request, "permissions/site_list.html", context | {"form": form})


@require_GET
def site_detail(request: MemberRequest, pk: int) -> HttpResponse:
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    form = DayForm(request.GET or None)
    on: date = (form.is_valid() and form.cleaned_data["on"]) or localdate()
    return render(request, "permissions/site_detail.html", site_context(site, request.user, on=on))


def _look_first(request: MemberRequest, form: BoundaryMixin, but: int | None = None) -> dict[str, Any]:
    """The boundary to look at before it is saved, where something in it was mended; else nothing."""
    if request.method != "POST" or not form.is_valid() or not form.needs_look:
        return {}
    form.show()
    return {"look": look_context(form.checked, request.user, but=but), "button": _("Save this boundary")}


@require_http_methods(["GET", "POST"])
def site_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    club = Club.objects.filter(pk=1).first()
    initial = {"jurisdiction": club.jurisdiction if club else "england"}
    form = NewSiteForm(request.POST or None, user=request.user, initial=initial)
    look = _look_first(request, form)
    if request.method == "POST" and form.is_valid() and form.checked and not look:
        try:
            site = actions.add_site(by=request.user, at=now(), boundary=form.checked, **form.fields_to_save())
        except TakenError as error:
            form.add_error("code", str(error))
        else:
            say(
                request, _("%(site)s is saved.") % {"site": site}, [*form.checked.notes, *overlap_words(site)]
            )
            return redirect("permissions:site_detail", pk=site.pk)
    draw = drawing_board(request.user)
    return form_page(request, form, _("Add a site"), reverse("permissions:site_list"), draw=draw, **look)


@require_http_methods(["GET", "POST"])
def site_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    name, back = str(site), reverse("permissions:site_detail", args=[pk])
    form = SiteForm(request.POST or None, instance=site, user=request.user)
    if request.method == "POST" and form.is_valid():
        actions.change_site(pk, by=request.user, at=now(), **form.fields_to_save())
        say(request, _("The changes are saved."))
        return redirect(back)
    return form_page(request, form, _("Change %(name)s") % {"name": name}, back)


@require_http_methods(["GET", "POST"])
def site_boundary(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    back = reverse("permissions:site_detail", args=[pk])
    form = BoundaryForm(request.POST or None, site=site)
    look = _look_first(request, form, but=pk)
    if request.method == "POST" and form.is_valid() and form.checked and not look:
        site = actions.redraw_site(pk, by=request.user, at=now(), boundary=form.checked)
        say(
            request,
            _("The new boundary is saved; the old one is kept."),
            [*form.checked.notes, *overlap_words(site)],
        )
        return redirect(back)
    draw = drawing_board(request.user, but=site)
    return form_page(request, form, _("Boundary of %(site)s") % {"site": site}, back, draw=draw, **look)
