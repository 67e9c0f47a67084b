"""Answers are private: no cache or search engine keeps a page. Addresses are text that a database can compare."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import render
from django.utils.translation import gettext as _

from tongue import noop

FEATURES_ALLOWED = "geolocation=(self), camera=(self), microphone=(), payment=(), usb=(), browsing-topics=()"
VERBS = ("GET", "HEAD", "OPTIONS", "PATCH", "POST")  # PATCH: the parts of a photograph from a phone
NUL_IN_ADDRESS = noop(
    "The address holds “%00”, a character that no text can hold (U+0000). Take “%00” out of the address and "
    "load the page again."
)


class PrivateByDefaultMiddleware:
    """Set Cache-Control, X-Robots-Tag and Permissions-Policy where a view did not set its own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Cache-Control", "private, no-store")
        response.headers.setdefault("X-Robots-Tag", "noindex, nofollow")
        response.headers.setdefault("Permissions-Policy", FEATURES_ALLOWED)
        return response


class KnownVerbsMiddleware:
    """Refuse verbs that no address here has: a library's form takes a PUT for a POST, and a TRACE echoes headers."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method not in VERBS:
            return HttpResponseNotAllowed(VERBS)
        return self.get_response(request)


class FormOnlyMiddleware:
    """Give a reader a page where an address takes a form only: after a reload, or sent there by signing in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.method != "GET" or response.status_code != 405 or response.content:
            return response
        page = render(request, "405.html", status=405)
        page["Allow"] = response["Allow"]
        return page


class NoNulMiddleware:
    """Refuse an address that holds U+0000: no keyboard types it, and PostgreSQL cannot compare text with it.

    Forms need no such guard: every text field of a form refuses the character and keeps what was typed.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        asked = [request.path_info, *(text for _name, texts in request.GET.lists() for text in texts)]
        if any("\0" in text for text in asked):
            return render(request, "400.html", {"why": _(NUL_IN_ADDRESS)}, status=400)
        return self.get_response(request)
