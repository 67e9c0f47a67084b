"""Tracks in, ground covered out."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hunts import actions
from hunts.cover_pictures import hunt_picture, site_picture
from hunts.cover_screens import hunt_coverage_page, site_coverage_page
from hunts.errors import HuntError
from hunts.forms.ground import TrackForm
from hunts.models import Hunt, Track
from hunts.plan_page import plan_of
from hunts.views.said import sent
from people.http import MemberRequest
from people.rights import Right, require
from permissions.models import Site
from tongue import noop
from web.paging import A_PAGE

SAID = {
    "new": noop("The track is kept. It shows below, with what was left out of it."),
    "known": noop("This walk is kept already, so nothing was added."),
    "longer": noop("This walk was kept before; the longer record of it has taken its place."),
}


@require_http_methods(["GET", "POST"])
def track_add(request: MemberRequest, pk: int) -> HttpResponse:
    """Give a recorded track; the walk is cleaned while the form is checked."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.LOG_HOLES)
    start = {"swath_m": plan_of(hunt).swath_m, "accuracy_m": 5}
    form = TrackForm(*sent(request), hunt=hunt, by=request.user, initial=start)
    if request.method == "POST" and form.is_valid() and form.prepared:
        once, person = form.cleaned_data["client_id"], form.cleaned_data.get("person")
        try:
            added = actions.add_track(
                pk, form.prepared, by=request.user, at=now(), client_id=once, person=person
            )
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _(SAID[added.outcome]))
            return redirect("hunts:coverage", pk=pk)
    return render(request, "hunts/track_form.html", {"form": form, "hunt": hunt})


@require_POST
def track_remove(request: MemberRequest, pk: int) -> HttpResponse:
    track = get_object_or_404(Track.objects.visible_to(request.user), pk=pk)
    hunt = track.hunt_id
    actions.remove_track(pk, by=request.user, at=now())
    messages.success(request, _("The track is taken away."))
    return redirect("hunts:coverage", pk=hunt)


@require_GET
def coverage(request: MemberRequest, pk: int) -> HttpResponse:
    """What was swept on this hunt: `?person=` for one person's tracks."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    context = hunt_coverage_page(hunt, request.user, request.GET.get("person", ""))
    return render(request, "hunts/coverage.html", context)


@require_GET
def site_coverage(request: MemberRequest, pk: int) -> HttpResponse:
    """What was swept on this site since it was last cultivated."""
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    context = site_coverage_page(site, request.user)
    page = Paginator(context["hunts"], A_PAGE).get_page(request.GET.get("page"))
    return render(request, "hunts/site_coverage.html", {**context, "page": page})


@require_GET
def coverage_picture(request: MemberRequest, pk: int, site: int) -> HttpResponse:
    """The picture of one site on a hunt, of the tracks that the reader may see."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    return _png(hunt_picture(hunt, request.user, site, request.GET.get("person", "")))


@require_GET
def site_picture_file(request: MemberRequest, pk: int) -> HttpResponse:
    """The picture of a site since it was last cultivated, for planners."""
    site = get_object_or_404(Site.objects.visible_to(request.user), pk=pk)
    return _png(site_picture(site, request.user))


def _png(data: bytes | None) -> HttpResponse:
    if data is None:
        raise Http404(_("There is nothing to draw here."))
    return HttpResponse(data, content_type="image/png")
