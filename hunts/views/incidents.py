"""Incidents: record one, read those one may."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from hunts import actions, maps
from hunts.actions.waiting_photos import let_photos_go
from hunts.drills import WITH_DRILL
from hunts.errors import HuntError
from hunts.forms import IncidentForm
from hunts.models import Hunt, Incident, IncidentPhoto
from hunts.points import incident_point
from hunts.views.said import keep_for_next_time, sent
from people.http import MemberRequest
from people.rights import Right, require
from web.files import private_file
from web.paging import A_PAGE


@require_http_methods(["GET", "POST"])
def incident_add(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).select_related("leader"), pk=pk)
    require(request.user, Right.LOG_HOLES)
    about: dict[str, Any] = {"hunt": hunt, "by": request.user, "at": now()}
    form = IncidentForm(*sent(request), initial={"kind": request.GET.get("kind")}, **about)
    if request.method == "POST" and form.is_valid():
        try:
            incident = actions.add_incident(**about, **form.asked(), **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            return _after_recording(request, incident, form)
    keep_for_next_time(request, form)
    return render(
        request, "hunts/incident_form.html", {"form": form, "hunt": hunt, "features": maps.ground(hunt)}
    )


def _after_recording(request: MemberRequest, incident: Incident, form: IncidentForm) -> HttpResponse:
    if form.waiting:
        let_photos_go(form.cleaned_data["client_id"], by=request.user, at=now())
    for note in form.position_notes:
        messages.info(request, note)
    messages.success(
        request,
        _("%(incident)s is recorded. The leader, the secretary and the committee see it.")
        % {"incident": incident},
    )
    if incident.kind in WITH_DRILL:
        return redirect("finds:incident", pk=incident.pk)
    return redirect("hunts:detail", pk=incident.hunt_id)


@require_GET
def incident_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.LOG_HOLES)
    incidents = Incident.objects.visible_to(request.user).select_related("hunt", "recorded_by", "hole")
    if code := request.GET.get("hunt", ""):
        incidents = incidents.filter(hunt__code=code)
    page = Paginator(incidents.prefetch_related("hunt__sites"), A_PAGE).get_page(request.GET.get("page"))
    rows = [{"incident": row, "where": _where(row, request)} for row in page]
    return render(request, "hunts/incident_list.html", {"page": page, "rows": rows, "code": code})


def _where(incident: Incident, request: MemberRequest) -> object:
    site = next(iter(incident.hunt.sites.all()), None)
    return incident_point(incident, request.user, site.country) if site else None


@require_GET
def incident_photo(request: MemberRequest, pk: int, size: str) -> HttpResponseBase:
    visible = Incident.objects.visible_to(request.user)
    rows = IncidentPhoto.objects.filter(incident__in=visible).select_related("incident__hunt")
    row = get_object_or_404(rows, pk=pk)
    file = row.thumb if size == "thumb" else row.display
    name = f"{row.incident.hunt.code}-incident-{row.incident_id}-{row.pk}.jpg"
    try:
        return private_file(file, content_type="image/jpeg", filename=name)
    except FileNotFoundError as error:
        raise Http404(_("This photograph is no longer in the store.")) from error
