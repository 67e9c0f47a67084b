"""One incident: its drill first, whom to call, and what becomes of it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from finds.actions import free_place
from finds.incident_page import incident_page
from hunts import actions
from hunts.errors import HuntError
from hunts.forms import CloseIncidentForm, FreeForm, IncidentPhotosForm, LiftForm
from hunts.models import Incident
from people.http import MemberRequest
from web.forms import BaseForm


def _seen(request: MemberRequest, pk: int) -> Incident:
    rows = Incident.objects.visible_to(request.user)
    people = ("recorded_by", "taken_over_by", "closed_by", "hunt__leader", "site", "hole")
    return get_object_or_404(rows.select_related(*people), pk=pk)


@require_GET
def incident(request: MemberRequest, pk: int) -> HttpResponse:
    return _page(request, _seen(request, pk))


def _page(request: MemberRequest, row: Incident, **forms: BaseForm) -> HttpResponse:
    context = incident_page(row, request.user, at=now())
    return render(request, "finds/incident.html", context | forms)


@require_POST
def done(request: MemberRequest, pk: int) -> HttpResponse:
    actions.do_drill(_seen(request, pk).pk, by=request.user, at=now())
    messages.success(request, _("Kept: you did what the drill says. Stay until those you called are there."))
    return redirect("finds:incident", pk=pk)


@require_POST
def take_over(request: MemberRequest, pk: int) -> HttpResponse:
    actions.take_over(_seen(request, pk).pk, by=request.user, at=now())
    return redirect("finds:incident", pk=pk)


@require_POST
def photo_add(request: MemberRequest, pk: int) -> HttpResponse:
    row = _seen(request, pk)
    form = IncidentPhotosForm(request.POST, request.FILES, auto_id="photos-%s")
    if not form.is_valid():
        return _page(request, row, photosform=form)
    actions.add_incident_photos(row.pk, form.prepared(), by=request.user, at=now())
    return redirect("finds:incident", pk=pk)


def _with_words(
    request: MemberRequest, pk: int, name: str, form: BaseForm, act: Callable[[str], object]
) -> HttpResponse:
    """Do it with the words that were typed; where they are missing, the page again with what is wrong."""
    row = _seen(request, pk)
    if not form.is_valid():
        return _page(request, row, **{name: form})
    try:
        act(form.cleaned_data["words"])
    except HuntError as error:
        form.add_error("words", str(error))
        return _page(request, row, **{name: form})
    return redirect("finds:incident", pk=pk)


@require_POST
def lift(request: MemberRequest, pk: int) -> HttpResponse:
    form = LiftForm(request.POST, auto_id="lift-%s")
    return _with_words(
        request,
        pk,
        "liftform",
        form,
        lambda words: actions.lift_stop(pk, by=request.user, at=now(), why=words),
    )


@require_POST
def close(request: MemberRequest, pk: int) -> HttpResponse:
    form = CloseIncidentForm(request.POST, auto_id="close-%s")
    return _with_words(
        request,
        pk,
        "closeform",
        form,
        lambda words: actions.close_incident(pk, by=request.user, at=now(), outcome=words),
    )


@require_POST
def free(request: MemberRequest, pk: int) -> HttpResponse:
    form = FreeForm(request.POST, auto_id="free-%s")
    return _with_words(
        request, pk, "freeform", form, lambda words: free_place(pk, by=request.user, at=now(), why=words)
    )
