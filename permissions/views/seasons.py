"""Usual seasons of the farming year: looked up, adapted, and laid on the sites they hold for."""

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from law.retold import retold
from people.http import MemberRequest
from people.rights import Right, require
from permissions import actions
from permissions.forms import SeasonForm, season_initial
from permissions.models import Site
from permissions.seasons import season_of, seasons, seasons_for
from permissions.views._page import form_page, say


@require_GET
def season_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.SEE_ALL_LAND)
    laws = set(Site.objects.visible_to(request.user).current().values_list("jurisdiction", flat=True))
    near = seasons_for(laws)
    context = {
        "near": near,
        "others": [season for season in seasons() if season not in near],
        "may_manage": request.user.holds(Right.MANAGE_LAND),
    }
    return render(request, "permissions/season_list.html", context)


@require_http_methods(["GET", "POST"])
def season_add(request: MemberRequest, season: str) -> HttpResponse:
    require(request.user, Right.MANAGE_LAND)
    usual = season_of(season)
    if usual is None:
        raise Http404(_("No season is called %(season)s.") % {"season": season})
    sites = list(Site.objects.visible_to(request.user).current().defer("boundary"))
    form = SeasonForm(request.POST or None, sites=sites, initial=season_initial(usual, localdate().year))
    if request.method == "POST" and form.is_valid():
        chosen = form.cleaned_data.pop("sites")
        actions.add_closed_periods(chosen, by=request.user, at=now(), **form.cleaned_data)
        say(
            request,
            _("“%(reason)s” counts on %(sites)s.")
            % {"reason": form.cleaned_data["reason"], "sites": ", ".join(s.code for s in chosen)},
        )
        return redirect("permissions:season_list")
    back = reverse("permissions:season_list")
    return form_page(request, form, retold(usual.reason), back, season=usual)
