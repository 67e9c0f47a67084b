"""Members sign up and withdraw."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from hunts import actions
from hunts.models import Hunt
from hunts.states import SignUpState
from hunts.views.said import saying_errors
from people.http import MemberRequest


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


@require_POST
def withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    hunt = get_object_or_404(Hunt.objects.visible_to(request.user), pk=pk)
    with saying_errors(request):
        actions.withdraw(hunt.pk, by=request.user, at=now())
        messages.success(request, _("You have withdrawn. Thank you for giving the place back."))
    return redirect("hunts:detail", pk=pk)
