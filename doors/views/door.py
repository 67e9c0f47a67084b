"""The door of the open interface: who reads, in which format, how often; and what is said to who does not get in."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import wraps
from typing import Any
from urllib.parse import urlencode

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_safe

from doors.actions import note_use
from doors.asked import ParameterError, read_format
from doors.collections import COLLECTIONS, Collection
from doors.documents import GEOJSON, HTML, JSON, OPENAPI, Addresses, Document
from doors.models import Purpose
from doors.tokens import TokenError, open_token
from people import limits
from people.models import User

CHALLENGE = 'Bearer realm="club records"'


class Refused(Exception):  # noqa: N818 - an answer, not a fault
    """This request gets no more than a status and a sentence. `code` is for programs."""

    def __init__(self, status: int, code: str, words: str, **headers: str) -> None:
        self.status, self.code, self.words, self.headers = status, code, words, headers
        super().__init__(words)


@dataclass(frozen=True)
class Access:
    """Who reads, which collections this key opens, and the addresses for the answer."""

    user: User
    scope: frozenset[str]
    addresses: Addresses

    @property
    def is_html(self) -> bool:
        return self.addresses.is_html

    def collection(self, name: str) -> Collection:
        """Raises Refused: what a key does not open is as if it were not there."""
        if name not in self.scope:
            raise not_found(_("There is no collection “%(name)s” here.") % {"name": name[:60]})
        return COLLECTIONS[name]


def opened(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponseBase]:
    """A view of the open interface: it reads, by a key in the header or by a sign-in, and errors are answers as well.

    Nothing is changed here, so no form's token is asked: every verb that could change something is refused first.
    """

    @csrf_exempt
    @login_not_required
    @require_safe
    @wraps(view)
    def inner(request: HttpRequest, **kwargs: Any) -> HttpResponseBase:
        try:
            is_html = _is_html(request)
            user, scope = _reader(request)
            access = Access(user, scope, Addresses(_addresses(request), is_html))
            response: HttpResponseBase = view(request, access, **kwargs)
        except ParameterError as error:
            response = refusal(request, Refused(400, "InvalidParameterValue", str(error)))
        except Refused as refused:
            if refused.status == 401 and "Authorization" not in request.headers and _is_browser(request):
                return redirect_to_login(request.get_full_path())
            response = refusal(request, refused)
        patch_vary_headers(response, ("Accept", "Authorization", "Cookie"))
        return response

    return inner


def not_found(words: str) -> Refused:
    return Refused(404, "NotFound", words)


def landing_url(request: HttpRequest) -> str:
    """The address that a program is given."""
    return request.build_absolute_uri(reverse("doors:landing"))


def _addresses(request: HttpRequest) -> Callable[[str, Mapping[str, Any]], str]:
    root = landing_url(request)

    def to(path: str, query: Mapping[str, Any]) -> str:
        return root + path + (f"?{urlencode(query)}" if query else "")

    return to


def answer(
    request: HttpRequest, access: Access, document: Document, kind: str, template: str, **more: Any
) -> HttpResponse:
    """The document in the format that was asked for."""
    if access.is_html:
        return render(request, f"doors/{template}.html", {"document": document, **more})
    return HttpResponse(_json(document), content_type=kind)


def refusal(request: HttpRequest, refused: Refused) -> HttpResponse:
    """The status with code and sentence (/req/core/http and table 3 of 17-069r4), as JSON or as a page."""
    if _prefers_html(request):
        response = render(request, "doors/refused.html", {"words": refused.words}, status=refused.status)
    else:
        said = {"code": refused.code, "description": refused.words}
        response = HttpResponse(_json(said), content_type=JSON, status=refused.status)
    for name, value in refused.headers.items():
        response[name.replace("_", "-")] = value
    return response


def _json(document: Document) -> str:
    return json.dumps(document, ensure_ascii=False, allow_nan=False)


def _is_html(request: HttpRequest) -> bool:
    """Raises ParameterError, and Refused where no format is acceptable (RFC 9110, section 15.5.7)."""
    wanted = read_format(request.GET)
    if wanted:
        return wanted == "html"
    found = request.get_preferred_type([JSON, GEOJSON, OPENAPI, HTML])
    if found is None:
        raise Refused(
            406, "NotAcceptable", _("There is JSON and HTML here; accept one of them, or say f=json.")
        )
    return found == HTML


def _prefers_html(request: HttpRequest) -> bool:
    asked = request.GET.get("f")
    return asked == "html" or (asked != "json" and _is_browser(request))


def _is_browser(request: HttpRequest) -> bool:
    """Somebody in front of a page can sign in; a program cannot."""
    return request.get_preferred_type([JSON, HTML]) == HTML


def _reader(request: HttpRequest) -> tuple[User, frozenset[str]]:
    """The account and the collections it opens: by the key in the header, else by the sign-in. Raises Refused."""
    if "Authorization" in request.headers:
        return _by_key(request)
    if not isinstance(request.user, User):
        words = _(
            "Send a key in the header Authorization, or sign in. Keys are made under Club, Keys for other programs."
        )
        raise Refused(401, "Unauthorized", words, WWW_Authenticate=CHALLENGE)
    if not request.user.roles:
        raise Refused(403, "Forbidden", _("The records are for people with a current membership."))
    _count(request, f"user {request.user.pk}")
    return request.user, frozenset(COLLECTIONS)


def _by_key(request: HttpRequest) -> tuple[User, frozenset[str]]:
    if wait := limits.wait_s(request, "key"):
        raise _too_many(wait)
    scheme, _space, key = request.headers["Authorization"].partition(" ")
    try:
        if scheme.lower() != "bearer":
            raise TokenError
        at = now()
        token = open_token(key.strip(), Purpose.DATA, at=at)
    except TokenError as error:
        limits.consume(request, "key")
        challenge = f'{CHALLENGE}, error="invalid_token"'
        raise Refused(401, "Unauthorized", str(error), WWW_Authenticate=challenge) from error
    _count(request, f"token {token.pk}")
    note_use(token.pk, via="key", on=localdate(at))
    request.user = token.user
    return token.user, token.collections


def _count(request: HttpRequest, key: str) -> None:
    if wait := limits.consume(request, "open", key=key):
        raise _too_many(wait)


def _too_many(wait: int) -> Refused:
    words = _("That was asked too often. Ask again in %(wait)s seconds.") % {"wait": wait}
    return Refused(429, "TooManyRequests", words, Retry_After=str(wait))
