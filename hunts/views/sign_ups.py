"""Members sign up and withdraw; those who run hunts sign up others."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from hunts import actions
from hunts.errors import HuntError
from hunts.forms import SignUpPersonForm
from hunts.models import Hunt, SignUp
from hunts.states import SignUpState
from hunts.views.said import saying_errors, sent
from people.http import MemberRequest
from people.rights import Right, require


@require_POST
def sign_up(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        row = actions.sign_up(hunt.pk, by=request.user, at=now())
        if row.state == SignUpState.IN:
            messages.success(request, _("You have a place."))
        else:
            messages.success(
                request, _("All places are taken. You are on the waiting list and move up by yourself.")
            )
    return redirect("hunts:detail", pk=pk)


@require_http_methods(["GET", "POST"])
def sign_up_person(request: MemberRequest, pk: int) -> HttpResponse:
    """A member who asked by telephone, days ahead."""
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    require(request.user, Right.RUN_HUNT)
    form = SignUpPersonForm(sent(request)[0], hunt=hunt, by=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.sign_up(pk, by=request.user, at=now(), person=form.cleaned_data["person"])
        except HuntError as error:
            form.add_error("person", str(error))
        else:
            messages.success(request, _said(row))
            return redirect("hunts:detail", pk=pk)
    return render(request, "hunts/sign_up_person.html", {"form": form, "hunt": hunt})


def _said(row: SignUp) -> str:
    if row.state == SignUpState.IN:
        return _("%(name)s has a place.") % {"name": row.user.name}
    return _("All places are taken; %(name)s is on the waiting list.") % {"name": row.user.name}


@require_POST
def withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.withdraw(hunt.pk, by=request.user, at=now())
        messages.success(request, _("You have withdrawn. Thank you for giving the place back."))
    return redirect("hunts:detail", pk=pk)
