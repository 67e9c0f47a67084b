"""Where one is signed in, and signing out there; and what the secretary may do for who lost their second factor."""

from allauth.usersessions.models import UserSession
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from people import actions
from people.account_words import device
from people.http import MemberRequest
from people.models import User
from people.rights import Right, require
from people.session_rules import MEMBERS, TRUSTED
from people.views.session_rules import keep_this_one


@require_GET
def session_list(request: MemberRequest) -> HttpResponse:
    found = UserSession.objects.purge_and_list(request.user)
    rows = [
        {
            "session": row,
            "device": device(row.user_agent),
            "is_this_one": row.session_key == request.session.session_key,
        }
        for row in sorted(found, key=lambda row: row.last_seen_at, reverse=True)
    ]
    limits = TRUSTED if request.user.needs_second_factor else MEMBERS
    return render(request, "people/session_list.html", {"rows": rows, "limits": limits})


@require_POST
def session_end(request: MemberRequest, pk: int) -> HttpResponse:
    if actions.end_session(pk, by=request.user, at=now()):
        messages.success(request, _("That browser is signed out."))
    else:
        messages.info(request, _("That sign-in was over already."))
    return redirect("people:session_list")


@require_POST
def sessions_end(request: MemberRequest) -> HttpResponse:
    """Sign out everywhere but here."""
    actions.end_sessions(request.user.pk, why="by its owner", by=request.user, via="", at=now())
    keep_this_one(request, request.user.pk)
    messages.success(request, _("You are signed out everywhere but in this browser."))
    return redirect("people:session_list")


@require_POST
def factors_off(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    try:
        actions.take_factors_off(pk, by=request.user, at=now())
    except actions.FactorError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request,
            _("The second factors of %(person_name)s are off, and they are signed out everywhere.")
            % {"person_name": person.name},
        )
    return redirect("people:person_detail", pk=pk)
