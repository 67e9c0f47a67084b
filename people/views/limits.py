"""The answer to too many tries, and what counts private addresses that open nothing."""

import re
from collections.abc import Callable
from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.timezone import localtime, now

from people import limits

A_MINUTE_S = 60
"""What the library's own limits by address are counted over; it does not say when the time is over."""
PRIVATE = re.compile(r"^/([lspc]|club/invited|club/mail/stop|set-up/begin|open/calendar)/")


def words_of_wait(wait: int) -> str:
    """When to try again, as a time of day: rounded up, so that it is true."""
    again = localtime(now() + timedelta(seconds=wait + A_MINUTE_S - 1))
    return f"{again:%H:%M}"


def too_many(request: HttpRequest, wait: int = A_MINUTE_S) -> HttpResponse:
    """429, with when to try again in words and in the header that programs read (RFC 6585, RFC 9110 section 10.2.3)."""
    response = render(request, "429.html", {"again": words_of_wait(wait)}, status=429)
    response["Retry-After"] = str(wait)
    return response


class LinkLimitsMiddleware:
    """Count private addresses that open nothing (410), whatever they were for; after too many none is looked up.

    Guessing a signed key is hopeless anyway; this keeps somebody who tries from costing look-ups and filling logs.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not PRIVATE.match(request.path_info):
            return self.get_response(request)
        if wait := limits.wait_s(request, "link"):
            return too_many(request, wait)
        response = self.get_response(request)
        if response.status_code == 410:
            limits.consume(request, "link")
        return response
