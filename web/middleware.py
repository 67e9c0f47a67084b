"""Answers are private: no shared cache and no search engine keeps a page of this site."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

FEATURES_ALLOWED = "geolocation=(self), camera=(self), microphone=(), payment=(), usb=(), interest-cohort=()"


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
