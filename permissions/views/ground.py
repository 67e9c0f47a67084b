"""What the ground of a site says: no-go areas, field states, closed periods, checks of protected places, licences."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.forms import (
    ClosedPeriodForm,
    FieldStateForm,
    LicenceForm,
    NoGoForm,
    ProtectedCheckForm,
    season_initial,
)
from permissions.maps import drawing_board
from permissions.models import ClosedPeriod, FieldState, Licence, NoGoArea, Site
from permissions.seasons import season_of, seasons_for
from permissions.views._page import form_page, say


def _site(request: MemberRequest, pk: int) -> Site:
    require(request.user, Right.MANAGE_LAND)
    return get_object_or_404(Site.objects.visible_to(request.user), pk=pk)


def _add(
    request: MemberRequest,
    site: Site,
    form: forms.BaseForm,
    title: str,
    save: Callable[..., object],
    **more: Any,
) -> HttpResponse:
    """Show the form, or save it with `save` and go back to the site."""
    back = reverse("permissions:site_detail", args=[site.pk])
    if request.method == "POST" and form.is_valid():
        save(by=request.user, at=now(), **form.cleaned_data)
        say(request, _("It is saved, and the gate goes by it from now on."))
        return redirect(back)
    return form_page(request, form, f"{title}: {site}", back, **more)


@require_http_methods(["GET", "POST"])
def no_go_add(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    form = NoGoForm(request.POST or None, site=site)
    draw = drawing_board(request.user, around=site)
    return _add(request, site, form, _("No-go area"), lambda **f: actions.add_no_go(pk, **f), draw=draw)


@require_POST
def no_go_delete(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    area = get_object_or_404(NoGoArea, pk=pk, site__in=Site.objects.visible_to(request.user))
    actions.remove_no_go(area.pk, by=request.user, at=now())
    say(
        request,
        _("“%(reason)s” may be searched again, if everything else is open.") % {"reason": area.reason},
    )
    return redirect("permissions:site_detail", pk=area.site_id)


@require_http_methods(["GET", "POST"])
def field_state_add(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    form = FieldStateForm(request.POST or None, today=localdate(), initial={"on": localdate()})
    return _add(
        request, site, form, _("What is on the field"), lambda **f: actions.add_field_state(site, **f)
    )


@require_POST
def field_state_delete(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    state = get_object_or_404(FieldState, pk=pk, site__in=Site.objects.visible_to(request.user))
    actions.remove_field_state(state.pk, by=request.user, at=now())
    say(request, _("The entry is taken off; the one before it counts again."))
    return redirect("permissions:site_detail", pk=state.site_id)


@require_http_methods(["GET", "POST"])
def closed_period_add(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    season = season_of(request.GET.get("season", ""))
    initial = season_initial(season, localdate().year) if season else {}
    form = ClosedPeriodForm(request.POST or None, initial=initial)
    save = lambda **f: actions.add_closed_period(site, **f)  # noqa: E731
    return _add(request, site, form, _("Closed period"), save, seasons=seasons_for([site.jurisdiction]))


@require_POST
def closed_period_delete(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    period = get_object_or_404(ClosedPeriod, pk=pk, site__in=Site.objects.visible_to(request.user))
    actions.remove_closed_period(period.pk, by=request.user, at=now())
    say(request, _("“%(reason)s” no longer closes the site.") % {"reason": period.reason})
    return redirect("permissions:site_detail", pk=period.site_id)


@require_http_methods(["GET", "POST"])
def protected_check_add(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    form = ProtectedCheckForm(request.POST or None, today=localdate(), initial={"checked_on": localdate()})
    return _add(
        request,
        site,
        form,
        _("Check for protected places"),
        lambda **f: actions.add_protected_check(site, **f),
    )


@require_http_methods(["GET", "POST"])
def licence_add(request: MemberRequest, pk: int) -> HttpResponse:
    site = _site(request, pk)
    form = LicenceForm(request.POST or None, site=site)
    return _add(
        request, site, form, _("Official licence"), lambda **f: actions.add_licence(sites=[site], **f)
    )


@require_POST
def licence_delete(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    visible = Licence.objects.filter(sites__in=Site.objects.visible_to(request.user)).distinct()
    licence = get_object_or_404(visible, pk=pk)
    site = licence.sites.order_by("pk")[0]
    actions.remove_licence(licence.pk, by=request.user, at=now())
    say(
        request,
        _("Licence %(number)s is taken off; the gate goes by it at once.") % {"number": licence.number},
    )
    return redirect("permissions:site_detail", pk=site.pk)
