"""Guests and juniors: on the list, off it, in and out."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms.guest import GuestForm
from hunts.models import Guest, Hunt
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require


@require_http_methods(["GET", "POST"])
def guest_add(request: MemberRequest, pk: int) -> HttpResponse:
    hunts = Hunt.objects.visible_to(request.user).select_related("leader", "permission")
    hunt = get_object_or_404(hunts, pk=pk)
    require(request.user, Right.SIGN_UP)
    form = GuestForm(sent(request)[0], hunt=hunt, by=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            once = form.cleaned_data["client_id"]
            guest = actions.bring_guest(pk, by=request.user, at=now(), client_id=once, **form.record_fields())
        except HuntError as error:
            form.add_error(None, str(error))
        else:
            messages.success(
                request,
                _("%(guest_name)s has a place. Bring their insurance card.") % {"guest_name": guest.name},
            )
            return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/guest_form.html", {"form": form, "hunt": hunt})


@require_POST
def guest_drop(request: MemberRequest, pk: int) -> HttpResponse:
    guest = get_object_or_404(Guest.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.withdraw_guest(pk, by=request.user, at=now())
        messages.success(request, _("%(guest_name)s is off the list.") % {"guest_name": guest.name})
    return redirect("hunts:detail", pk=guest.hunt_id)


@require_POST
def guest_in(request: MemberRequest, pk: int) -> HttpResponse:
    guest = get_object_or_404(Guest.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.sign_in_guest(pk, by=request.user, at=now())
    return redirect("hunts:roll_call", pk=guest.hunt_id)


@require_POST
def guest_out(request: MemberRequest, pk: int) -> HttpResponse:
    guest = get_object_or_404(Guest.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.sign_out_guest(pk, by=request.user, at=now())
    return redirect("hunts:roll_call", pk=guest.hunt_id)
