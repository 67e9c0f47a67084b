"""What is refused before any view sees it: a body that is too large says so, and how much is taken."""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.csrf import requires_csrf_token

A_MEGABYTE = 1024 * 1024


@requires_csrf_token
def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400, or 413 where there was too much of it (RFC 9110, 15.5.14). Nothing of the exception itself is shown."""
    why = _too_much(exception)
    return render(request, "400.html", {"why": why}, status=413 if why else 400)


def _too_much(exception: Exception) -> str:
    if isinstance(exception, RequestDataTooBig):
        words = _(
            "The form holds more than %(megabytes)s MB of text, and nothing of it was saved. Go back: what you typed "
            "is still there. Send it in several parts, or as a file where the page takes one."
        )
        return words % {"megabytes": settings.DATA_UPLOAD_MAX_MEMORY_SIZE // A_MEGABYTE}
    if isinstance(exception, TooManyFieldsSent | TooManyFilesSent):
        return _(
            "The form holds more fields or files than one can be sent with, and nothing of it was saved. Go back: what "
            "you typed is still there. Send it in several parts."
        )
    return ""
