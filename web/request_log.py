"""One line in the log for each request: which view, what came of it, how long it took; of whom, no more than a mark."""

import hmac
import logging
import time
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.http import HttpRequest, HttpResponse

from web.request_ids import HEADER, new_id, request_id

log = logging.getLogger("stubble.request")
QUIET = ("keeping:health", "keeping:ready")
"""Asked every few seconds by machines; logged when the answer is not good."""


class RequestLogMiddleware:
    """The first of all, so that what others answer is logged as well."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        given = request.headers.get(HEADER) if settings.BEHIND_PROXY else None
        token = request_id.set(new_id(given))
        request.request_id = request_id.get()  # type: ignore[attr-defined]  # for what Django logs after this
        began = time.perf_counter()
        try:
            response = self.get_response(request)
            response[HEADER] = request_id.get()
            _write(request, response.status_code, (time.perf_counter() - began) * 1000)
            return response
        finally:
            request_id.reset(token)


def _write(request: HttpRequest, status: int, ms: float) -> None:
    match = request.resolver_match
    view = match.view_name if match else "no view"
    if view in QUIET and status < 400:
        return
    fields = {"view": view, "method": request.method, "status": status, "ms": round(ms)}
    if mark := account_mark(request):
        fields["account"] = mark
    log.info(
        "%s %s %s in %d ms",
        request.method,
        view,
        status,
        ms,
        extra={**fields, "request_id": request_id.get()},
    )


def account_mark(request: HttpRequest) -> str:
    """The same few letters for the same account, from which nobody without the secret key gets back to it.

    Empty where the request had nothing to do with a session: the log reads none for its own sake.
    """
    session = getattr(request, "session", None)
    if session is None or not session.accessed or not (pk := session.get(SESSION_KEY)):
        return ""
    return hmac.new(settings.SECRET_KEY.encode(), f"log:{pk}".encode(), "sha256").hexdigest()[:12]
