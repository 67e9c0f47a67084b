"""The door of the addresses that a phone asks: answers in JSON, never a redirect, so that a phone loses nothing."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from people.views.session_rules import LAPSED
from tongue import noop

SIGN_IN = noop("Sign in to send. Everything you recorded is kept on this phone.")
ENDED = noop(
    "Your membership has ended, so this phone no longer sends. Ask the secretary; what you recorded is kept."
)

View = Callable[..., HttpResponseBase]


def for_phones(view: View) -> View:
    """Let members in and answer everybody else in JSON: 401 when nobody is signed in, 403 when a membership ended."""

    @login_not_required
    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        user: Any = request.user
        if not user.is_authenticated and not request.session.get(LAPSED):
            return JsonResponse({"why": _(SIGN_IN), "sign_in": reverse("people:sign_in")}, status=401)
        if not user.is_authenticated or not user.roles:
            return JsonResponse({"why": _(ENDED), "ended": True}, status=403)
        return view(request, *args, **kwargs)

    return guarded
