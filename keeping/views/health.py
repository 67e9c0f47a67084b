"""Two addresses for machines: is the site able to serve, and is all well. No sign-in, no cookie, no details."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils.timezone import now
from django.views.decorators.http import require_safe

from keeping.health import cannot_serve, is_stuck


@login_not_required
@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """For a proxy: may requests come here? A mail server that is down is no reason to send nobody here."""
    return _answer(not cannot_serve())


@login_not_required
@require_safe
def health(request: HttpRequest) -> HttpResponse:
    """For whoever watches over the installation: is anything wrong that a person has to look at?"""
    return _answer(not cannot_serve() and not is_stuck(now()))


def _answer(is_well: bool) -> HttpResponse:
    words = "ok\n" if is_well else "not ok\n"
    return HttpResponse(words, status=200 if is_well else 503, content_type="text/plain; charset=utf-8")
