"""Plain HTTP where a program asks is refused: a redirect would hide that everything was sent in the open.

Source: OWASP ASVS 5.0.0, 4.1.2 (only pages that people open in a browser redirect from HTTP to HTTPS).
"""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse

ASKED_BY_PROGRAMS = ("/field/me/", "/field/hunts/", "/field/records/", "/field/photos/", "/open/")
"""deploy/nginx.conf refuses the same ones; tests/house/test_plain_http.py compares both, and looks at every view."""
WHY = (
    "This came over plain HTTP, and whoever is on the way could read it. Nothing was done. Ask again at the address "
    "that begins with https://, and change any password or key that was sent along."
)


class NoPlainHttpMiddleware:
    """Before the redirect to HTTPS: that is for somebody who opens a page, and for nothing else."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if settings.SECURE_SSL_REDIRECT and not request.is_secure() and is_refused(request):
            return JsonResponse({"why": WHY}, status=403, headers={"X-Content-Type-Options": "nosniff"})
        return self.get_response(request)


def is_refused(request: HttpRequest) -> bool:
    """A form that is sent has been read by others already: no redirect makes up for it, and most lose what it held."""
    return request.method not in ("GET", "HEAD") or f"{request.path_info}/".startswith(ASKED_BY_PROGRAMS)
