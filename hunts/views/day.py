"""The day: start, briefing, roll call, close."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from hunts import actions, screens
from hunts.cover_screens import put_in
from hunts.errors import HuntError
from hunts.forms import BriefingForm, CloseForm, LateComerForm
from hunts.models import Hunt, SignUp
from hunts.pages import briefing_page
from hunts.states import HoleState, SignUpState
from hunts.stops import stops_of_hunt
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require
from web.states import IllegalMoveError


@require_POST
def start(request: MemberRequest, pk: int) -> HttpResponse:
    get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    after = "hunts:detail"
    with saying_errors(request):
        actions.start_hunt(pk, by=request.user, at=now())
        messages.success(request, _("The hunt is running. Sign everybody in before they walk out."))
        after = "hunts:roll_call"
    return redirect(after, pk=pk)


@require_http_methods(["GET", "POST"])
def briefing(request: MemberRequest, pk: int) -> HttpResponse:
    """The cautions and what is special here; the leader ticks who heard it."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).select_related("permission"), pk=pk)
    form = BriefingForm(sent(request)[0], hunt=hunt, by=request.user)
    if request.method == "POST":
        require(request.user, Right.RUN_HUNT)
        if form.is_valid():
            ids = [row.pk for row in form.cleaned_data["heard"]]
            with saying_errors(request):
                count = actions.hear_briefing(pk, ids, by=request.user, at=now())
                messages.success(
                    request, _("Recorded: %(count)s more heard the briefing.") % {"count": count}
                )
            return redirect("hunts:briefing", pk=pk)
    return render(request, "hunts/briefing.html", {"form": form, **briefing_page(hunt, request.user)})


@require_http_methods(["GET", "POST"])
def roll_call(request: MemberRequest, pk: int) -> HttpResponse:
    """Everybody in and out; a POST adds somebody at the gate who did not sign up."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).select_related("leader"), pk=pk)
    require(request.user, Right.RUN_HUNT)
    form = LateComerForm(sent(request)[0], hunt=hunt, by=request.user)
    if request.method == "POST" and form.is_valid():
        with saying_errors(request):
            row = actions.sign_up(pk, by=request.user, at=now(), person=form.cleaned_data["person"])
            said = (
                _("has a place; sign them in") if row.state == SignUpState.IN else _("is on the waiting list")
            )
            messages.success(request, f"{row.user.name} {said}.")
        return redirect("hunts:roll_call", pk=pk)
    at = now()
    mine = screens.my_standing(hunt, request.user)
    may = screens.may(hunt, request.user, mine, at=at)
    rolled = screens.roll(hunt, request.user, at=at)
    context = {"hunt": hunt, "form": form, "stops": stops_of_hunt(hunt), **rolled, **may}
    return render(request, "hunts/roll_call.html", context)


@require_POST
def sign_in_person(request: MemberRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(SignUp.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.sign_in(row.pk, by=request.user, at=now())
    return redirect("hunts:roll_call", pk=row.hunt_id)


@require_POST
def sign_out_person(request: MemberRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(SignUp.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.sign_out(row.pk, by=request.user, at=now())
    return redirect("hunts:roll_call", pk=row.hunt_id)


@require_http_methods(["GET", "POST"])
def close(request: MemberRequest, pk: int) -> HttpResponse:
    """Who is out, which holes are open, the head count; then close."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.RUN_HUNT)
    unfilled = _unfilled(hunt)
    form = CloseForm(sent(request)[0], unfilled=[number for number, _rest in unfilled])
    if request.method == "POST" and form.is_valid():
        try:
            actions.close_hunt(pk, by=request.user, at=now(), **form.cleaned_data)
        except (HuntError, IllegalMoveError) as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("%(hunt_code)s is closed. Tell the landholder that the field is clear.")
                % {"hunt_code": hunt.code},
            )
            return redirect("hunts:detail", pk=pk)
    roll = screens.roll(hunt, request.user, at=now())
    context = {"hunt": hunt, "form": form, "unfilled": unfilled, "roll": roll, "put_in": put_in(hunt)}
    return render(request, "hunts/close.html", context)


def _unfilled(hunt: Hunt) -> list[tuple[int, str]]:
    """Number and digger of every hole that is open, so that nobody closes over one they may not see."""
    holes = hunt.holes.filter(state=HoleState.DUG).order_by("number")
    return list(holes.values_list("number", "digger__name"))
