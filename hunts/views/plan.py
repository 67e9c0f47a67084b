"""Plan, change, open and call off a hunt."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from hunts import actions
from hunts.errors import HuntError
from hunts.forms import CallOffForm, ChangeHuntForm, OpenForm, PlanForm
from hunts.forms.plan import FIELDS
from hunts.gate import GateSaid, ask_gate, gate_now, with_ways
from hunts.models import Hunt
from hunts.sweep import SweepError, capacity
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require
from permissions.gate import Answer
from permissions.models import Permission
from permissions.states import State
from web.states import IllegalMoveError

PLANNABLE = [State.GRANTED, State.ASKED, State.DRAFT, State.PAUSED]


LONGEST_KEY = 18  # digits: all that a 64-bit key can hold; Python will not read thousands


def _key(asked: str) -> int:
    """The primary key in an address; 0, which no row has, where it is none."""
    return int(asked) if asked.isdecimal() and len(asked) <= LONGEST_KEY else 0


@require_http_methods(["GET", "POST"])
def plan(request: MemberRequest) -> HttpResponse:
    """Choose the permission, fill in the plan, read what the gate says, save."""
    require(request.user, Right.PLAN_HUNT)
    permissions = Permission.objects.visible_to(request.user).filter(state__in=PLANNABLE)
    chosen = request.GET.get("permission", "")
    if not chosen:
        return render(
            request, "hunts/choose_permission.html", {"permissions": permissions.prefetch_related("sites")}
        )
    permission = get_object_or_404(permissions, pk=_key(chosen))
    form = PlanForm(sent(request)[0], permission=permission, by=request.user, at=now())
    context: dict[str, Any] = {"form": form, "permission": permission}
    if request.method == "POST" and form.is_valid():
        said = _ask(request, form)
        if request.POST.get("step") == "save" and form.cleaned_data["seen"] == said.key:
            return redirect("hunts:detail", pk=_save(request, form).pk)
        shown = with_ways(said, request.user, permission=permission.pk)
        context |= {"gate": shown, "advice": _advice(form), "form": _with_seen(form, said)}
    return render(request, "hunts/plan.html", context)


def _ask(request: MemberRequest, form: PlanForm) -> GateSaid:
    names = request.user.holds(Right.SEE_LANDHOLDERS)
    return ask_gate(form.permission, form.cleaned_data["sites"], form.draft(), at=now(), names=names)


def _save(request: MemberRequest, form: PlanForm) -> Hunt:
    values = form.cleaned_data
    fields = {name: values[name] for name in FIELDS}
    sites, once = values["sites"], values["client_id"]
    hunt = actions.plan_hunt(form.permission, sites, by=request.user, at=now(), client_id=once, **fields)
    messages.success(
        request, _("%(hunt_code)s is planned. Members see it once you open it.") % {"hunt_code": hunt.code}
    )
    return hunt


def _with_seen(form: PlanForm, said: GateSaid) -> PlanForm:
    """The same form with the gate's answer marked as read, for the next sending."""
    sent = form.data.copy()  # type: ignore[attr-defined]  # a QueryDict
    sent["seen"] = said.key
    form.data = sent
    return form


def _advice(form: PlanForm) -> str:
    """How many people this ground takes."""
    try:
        area = sum(site.area_m2 for site in form.cleaned_data["sites"])
        return capacity(area, owner_cap=form.permission.max_heads).sentence
    except SweepError as error:
        return str(error)


@require_http_methods(["GET", "POST"])
def edit(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.PLAN_HUNT)
    form = ChangeHuntForm(sent(request)[0], instance=hunt, by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_hunt(pk, by=request.user, at=now(), **form.cleaned_data)
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The changes are saved."))
            return redirect("hunts:detail", pk=pk)
    return render(
        request, "hunts/edit.html", {"form": form, "hunt": Hunt.objects.visible_to(request.user).get(pk=pk)}
    )


@require_http_methods(["GET", "POST"])
def open_hunt(request: MemberRequest, pk: int) -> HttpResponse:
    """What the gate says now; open unless it is shut."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.PLAN_HUNT)
    said = gate_now(hunt, at=now(), names=request.user.holds(Right.SEE_LANDHOLDERS))
    form = OpenForm(sent(request)[0], ask=said.answer is Answer.ASK)
    if request.method == "POST" and form.is_valid():
        try:
            actions.open_hunt(pk, by=request.user, at=now(), **form.cleaned_data)
        except (HuntError, IllegalMoveError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("%(hunt_code)s is open for sign-up.") % {"hunt_code": hunt.code})
            return redirect("hunts:detail", pk=pk)
    shown = with_ways(said, request.user, permission=hunt.permission_id or 0, hunt=pk)
    return render(request, "hunts/open.html", {"form": form, "hunt": hunt, "gate": shown})


@require_http_methods(["GET", "POST"])
def call_off(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.PLAN_HUNT)
    form = CallOffForm(sent(request)[0])
    if request.method == "POST" and form.is_valid():
        with saying_errors(request):
            actions.call_off_hunt(pk, by=request.user, at=now(), why=form.cleaned_data["why"])
            messages.success(
                request,
                _("%(hunt_code)s is called off and everybody who was coming is told by e-mail.")
                % {"hunt_code": hunt.code},
            )
        return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/call_off.html", {"form": form, "hunt": hunt})
