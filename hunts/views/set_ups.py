"""How a detector is set on a hunt, and what the ground read."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from hunts import actions
from hunts.actions.incidents import may_record
from hunts.errors import HuntError
from hunts.forms.kit import GroundReadingForm, SetUpForm
from hunts.kit_facts import nudge_for
from hunts.models import Hunt, Kit, SetUp
from hunts.views.said import sent
from people.http import MemberRequest
from people.rights import Right, require


def _hunt(request: MemberRequest, pk: int) -> Hunt:
    """The hunt, for somebody who is on it."""
    hunts = Hunt.objects.visible_to(request.user).select_related("leader")
    hunt: Hunt = get_object_or_404(hunts, pk=pk)
    require(request.user, Right.LOG_HOLES)
    if not may_record(hunt, request.user):
        raise PermissionDenied(
            _("You hold no place on %(hunt_code)s; sign up first.") % {"hunt_code": hunt.code}
        )
    return hunt


def _first_a_kit(request: MemberRequest) -> HttpResponse | None:
    if Kit.objects.visible_to(request.user).in_use().exists():
        return None
    messages.info(request, _("Describe your machine once; then its settings are two taps."))
    return redirect("hunts:kit_add")


@require_http_methods(["GET", "POST"])
def set_up_log(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = _hunt(request, pk)
    if (ask := _first_a_kit(request)) is not None:
        return ask
    last = SetUp.objects.visible_to(request.user).order_by("-set_at", "-pk").first()
    known = ("kit", "mode", "sensitivity", "recovery_speed", "discrimination", "threshold")
    initial = {name: getattr(last, name) for name in known} if last else {}
    form = SetUpForm(sent(request)[0], hunt=hunt, by=request.user, at=now(), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            actions.log_set_up(pk, by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The set-up is kept. Add battery and hours at the end of the day."))
            return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/set_up_form.html", {"form": form, "hunt": hunt, "last": last})


@require_http_methods(["GET", "POST"])
def set_up_edit(request: MemberRequest, pk: int) -> HttpResponse:
    rows = SetUp.objects.visible_to(request.user).select_related("hunt__leader")
    row = get_object_or_404(rows, pk=pk)
    form = SetUpForm(sent(request)[0], instance=row, hunt=row.hunt, by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_set_up(pk, by=request.user, at=now(), **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The changes are saved."))
            return redirect("hunts:detail", pk=row.hunt_id)
    return render(request, "hunts/set_up_form.html", {"form": form, "hunt": row.hunt, "set_up": row})


@require_http_methods(["GET", "POST"])
def ground_log(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = _hunt(request, pk)
    if (ask := _first_a_kit(request)) is not None:
        return ask
    form = GroundReadingForm(sent(request)[0], hunt=hunt, by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            actions.log_ground(pk, by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The ground reading is kept."))
            return redirect("hunts:detail", pk=pk)
    nudge = nudge_for(hunt, request.user, at=now())
    return render(request, "hunts/ground_form.html", {"form": form, "hunt": hunt, "nudge": nudge})
