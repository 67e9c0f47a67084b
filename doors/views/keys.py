"""My keys: the list, a new one, which is shown once, and the end of one."""

from allauth.account.decorators import reauthentication_required
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from doors import actions
from doors.forms import KeyForm
from doors.models import AccessToken, Purpose
from doors.tokens import need_membership
from doors.views.door import landing_url
from people.http import MemberRequest

STATUS = {"open": "open", "revoked": "done", "expired": "done", "ended": "done"}


@require_GET
def key_list(request: MemberRequest) -> HttpResponse:
    at, epoch = now(), request.user.sessions_epoch
    words = {
        "open": _("Open"),
        "revoked": _("Ended by you"),
        "expired": _("Run out"),
        "ended": _("Ended with your sign-ins"),
    }
    rows = [
        {"key": key, "words": words[state], "status": STATUS[state], "is_open": state == "open"}
        for key in AccessToken.objects.visible_to(request.user)
        for state in [key.state(at, epoch)]
    ]
    context = {"rows": rows, "may_make": bool(request.user.roles), "root": landing_url(request)}
    return render(request, "doors/key_list.html", context)


@reauthentication_required  # type: ignore[untyped-decorator]
@require_http_methods(["GET", "POST"])
def key_new(request: MemberRequest) -> HttpResponse:
    """A form; once it is sent, the key itself, which no other page shows."""
    need_membership(request.user)
    form = KeyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            token, key = actions.make_token(
                by=request.user, at=now(), purpose=Purpose.DATA, **form.cleaned_data
            )
        except actions.TooManyKeysError as error:
            form.add_error(None, str(error))
        else:
            context = {"token": token, "key": key, "root": landing_url(request)}
            return render(request, "doors/key_made.html", context)
    return render(request, "doors/key_new.html", {"form": form})


@require_POST
def key_end(request: MemberRequest, pk: int) -> HttpResponse:
    token = get_object_or_404(AccessToken.objects.visible_to(request.user), pk=pk)
    actions.revoke_token(token.pk, by=request.user, at=now())
    messages.success(request, _("The key “%(label)s” opens nothing any more.") % {"label": token.label})
    return redirect("doors:key_list")
