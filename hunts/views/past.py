"""Enter an outing from older records, correct it, and take away one that was entered wrongly."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms import CorrectPastForm, PastOutingForm
from hunts.forms.past import FIELDS
from hunts.models import Hunt
from hunts.past_ties import tied
from hunts.views.said import sent
from people.http import MemberRequest
from people.rights import Right, require


@require_http_methods(["GET", "POST"])
def past_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    form = PastOutingForm(sent(request)[0], by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        try:
            hunt = actions.enter_past_outing(
                values["sites"], values["people"], by=request.user, at=now(), client_id=values["client_id"],
                **{name: values[name] for name in FIELDS},
            )  # fmt: skip
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("%(hunt_code)s is entered; its finds can be recorded and imported now.")
                % {"hunt_code": hunt.code},
            )
            return redirect("hunts:detail", pk=hunt.pk)
    return render(request, "hunts/past.html", {"form": form})


@require_http_methods(["GET", "POST"])
def past_edit(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PERMISSIONS)
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user).exclude(past_basis=""), pk=pk)
    form = CorrectPastForm(sent(request)[0], instance=hunt, stays=tied(hunt), by=request.user, at=now())
    if request.method == "POST" and form.is_valid():
        values = form.cleaned_data
        try:
            actions.correct_past_outing(
                pk, values["sites"], values["people"], by=request.user, at=now(),
                **{name: values[name] for name in FIELDS},
            )  # fmt: skip
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, _("The changes are saved."))
            return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/past_edit.html", {"form": form, "hunt": hunt})


@require_POST
def past_remove(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    try:
        actions.remove_past_outing(pk, by=request.user, at=now())
    except HuntError as error:
        messages.error(request, str(error))
        return redirect("hunts:detail", pk=pk)
    messages.success(request, _("%(hunt_code)s is taken away.") % {"hunt_code": hunt.code})
    return redirect("hunts:list")
