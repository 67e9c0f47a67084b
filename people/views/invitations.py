"""Invitations: the secretary's list, and the page on which an invited person begins."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from people import actions, limits
from people.account_forms import AcceptForm
from people.forms import NewPersonForm, year_from
from people.hand_over_link import keep_to_show
from people.http import MemberRequest
from people.invitations import InvitationKeyError, made_by_form, open_invitation
from people.models import Invitation, User
from people.rights import Right, require
from people.site import site_of
from people.views.limits import too_many
from web.paging import A_PAGE


@require_GET
def invitation_list(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    at = now()
    page = Paginator(Invitation.objects.select_related("user", "made_by"), A_PAGE).get_page(
        request.GET.get("page")
    )
    rows = [{"invitation": row, "state": row.state(at)} for row in page]
    return render(request, "people/invitation_list.html", {"page": page, "rows": rows})


@require_http_methods(["GET", "POST"])
def person_add(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    if (made := made_by_form(request.POST.get("client_id", ""))) is not None:
        return redirect("people:person_detail", pk=made.user_id)
    starts, ends = year_from(localdate())
    form = NewPersonForm(request.POST or None, initial={"starts": starts, "ends": ends})
    if request.method == "POST" and form.is_valid():
        row = actions.invite_person(by=request.user, at=now(), site=site_of(request), **form.cleaned_data)
        words = _("%(user_name)s was added and has a message with the way to choose a password.")
        if keep_to_show(request, row):
            words = _("%(user_name)s was added.")
        messages.success(request, words % {"user_name": row.user.name})
        return redirect("people:person_detail", pk=row.user_id)
    context = {"form": form, "title": _("Add and invite a person"), "back": "people:person_list"}
    return render(request, "people/form.html", context)


@require_POST
def invitation_send(request: MemberRequest, pk: int) -> HttpResponse:
    """Invite an account that has no password yet, or send what waits once more."""
    require(request.user, Right.MANAGE_PEOPLE)
    person = get_object_or_404(User.objects.visible_to(request.user), pk=pk)
    try:
        row = actions.send_invitation(pk, by=request.user, at=now(), site=site_of(request))
    except actions.InvitationError as error:
        messages.error(request, str(error))
    else:
        words = _("An invitation is on its way to %(user_email)s. Older ones no longer work.")
        if keep_to_show(request, row):
            words = _("An invitation for %(user_email)s is made. Older ones no longer work.")
        messages.success(request, words % {"user_email": row.user.email})
    return redirect("people:person_detail", pk=person.pk)


@require_POST
def invitation_withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    require(request.user, Right.MANAGE_PEOPLE)
    try:
        row = actions.withdraw_invitation(get_object_or_404(Invitation, pk=pk).pk, by=request.user, at=now())
    except actions.InvitationError as error:
        messages.error(request, str(error))
    else:
        messages.success(
            request,
            _("The invitation of %(user_name)s is withdrawn; its address opens nothing now.")
            % {"user_name": row.user.name},
        )
    return redirect("people:invitation_list")


@sensitive_post_parameters()
@login_not_required
@require_http_methods(["GET", "POST"])
def invited(request: HttpRequest, code: str) -> HttpResponse:
    """Choose a name and a password. An address that opens nothing gets one plain page, whatever was wrong with it."""
    at = now()
    if request.method == "POST" and (wait := limits.consume(request, "accept")):
        return too_many(request, wait)
    try:
        person = open_invitation(code, at=at).user
        form = AcceptForm(person, request.POST or None, initial={"name": person.name})
        if request.method == "POST" and form.is_valid():
            chosen = {"name": form.cleaned_data["name"], "password": form.cleaned_data["new_password1"]}
            actions.accept_invitation(code, **chosen, via="invitation", at=at)
            messages.success(
                request, _("Welcome. Sign in with your e-mail address and the password you chose.")
            )
            return redirect("people:sign_in")
    except InvitationKeyError as error:
        return render(request, "people/invited_closed.html", {"why": str(error)}, status=410)
    return render(request, "people/invited.html", {"form": form, "email": person.email})
