"""The page that makes a calendar's private address, and the calendar itself behind one."""

import hashlib
from zoneinfo import ZoneInfo

from allauth.account.decorators import reauthentication_required
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.timezone import get_default_timezone_name, localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from doors import actions
from doors.calendar import write_calendar
from doors.calendar_entries import entries_for
from doors.files.forms import CalendarForm
from doors.models import AccessToken, Purpose
from doors.tokens import TokenError, open_token
from people.http import MemberRequest
from people.models import Club
from people.site import site_of


@reauthentication_required  # type: ignore[untyped-decorator]
@require_http_methods(["GET", "POST"])
def calendar_page(request: MemberRequest) -> HttpResponse:
    """A form; once it is sent, the address, which no other page shows. Keys are ended on their own page."""
    if not request.user.roles:
        raise Http404
    form = CalendarForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            _token, key = actions.make_token(
                by=request.user, at=now(), purpose=Purpose.CALENDAR, **form.cleaned_data
            )
        except actions.TooManyKeysError as error:
            form.add_error(None, str(error))
        else:
            address = site_of(request) + reverse("doors:calendar_feed", args=[key]) if key else ""
            return render(request, "doors/calendar_made.html", {"address": address})
    keys = AccessToken.objects.visible_to(request.user).live(now()).filter(purpose=Purpose.CALENDAR)
    return render(request, "doors/calendar.html", {"form": form, "keys": keys})


@login_not_required
@require_safe
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar; 304 while nothing in it has changed (RFC 9110 section 13), 410 for a key that opens nothing."""
    at = now()
    try:
        token = open_token(secret, Purpose.CALENDAR, at=at)
    except TokenError as error:
        return _private(HttpResponse(f"{error}\n", status=410, content_type="text/plain; charset=utf-8"))
    club = Club.objects.filter(pk=1).first()
    entries = entries_for(token.user, site_of(request), at=at)
    zone = ZoneInfo(get_default_timezone_name())
    body = write_calendar(club.name if club else _("Club"), entries, zone)
    actions.note_use(token.pk, via="calendar", on=localdate(at))
    etag = quote_etag(hashlib.sha256(body).hexdigest())
    response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
    response["ETag"] = etag
    response["Content-Disposition"] = 'inline; filename="club.ics"'
    return _private(get_conditional_response(request, etag=etag, response=response) or response)


def _private(response: HttpResponse) -> HttpResponse:
    response["Cache-Control"] = "private, no-cache"
    response["Referrer-Policy"] = "no-referrer"
    return response
