"""When a sign-in ends by itself: its time, idleness, a membership that lapsed. Rules: people/session_rules.py."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout, update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.utils.timezone import now
from django.utils.translation import gettext as _

from people import actions
from people.models import User
from people.session_rules import MEMBERS, SEEN_EVERY, TRUSTED, may_be_over, why_over

SINCE, SEEN, MEMBER = "signed_in_at", "seen_at", "signed_in_as_member"
LAPSED = "signed_out_as_membership_ended"


def begin(sender: Any, request: HttpRequest, user: User, **kwargs: Any) -> None:
    """Write into a new session when it began; called by the framework whenever somebody is signed in."""
    moment = now().timestamp()
    request.session[SINCE], request.session[SEEN] = moment, moment
    request.session[MEMBER] = bool(user.roles_now())


def begun_at(request: HttpRequest) -> datetime | None:
    """When this sign-in began."""
    return _moment(request, SINCE)


def keep_this_one(request: HttpRequest, person_id: int) -> None:
    """All sign-ins of the account have ended: let this one go on, under a new key."""
    person = User.objects.visible_to(request.user).get(pk=person_id)
    old = request.session.session_key or ""
    update_session_auth_hash(request, person)
    actions.note_new_key(old, request.session.session_key or "", via="session", at=now())
    request.user = person


class SessionRulesMiddleware:
    """End what is over before anything is shown; note a sign of life now and then."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if settings.SESSION_COOKIE_NAME not in request.COOKIES or not request.user.is_authenticated:
            return self.get_response(request)
        at = now()
        if why := _why_over(request, at):
            _end(request, _("%(why)s. Please sign in again.") % {"why": why}, at)
            return self.get_response(request)
        _note(request, at)
        response = self.get_response(request)
        person: Any = request.user
        if person.is_authenticated and request.session.get(MEMBER) and person.is_known_to_have_no_role:
            # The request itself went without rights; the next one begins at the sign-in page.
            _end(request, _("Your membership has ended, and with it this sign-in."), at)
            request.session[LAPSED] = True  # for phones, which go on asking
        return response


def _why_over(request: HttpRequest, at: datetime) -> str:
    since, seen = begun_at(request), _moment(request, SEEN)
    if since is None or seen is None:
        return _("This sign-in is from before an upgrade")
    if not may_be_over(since, seen, at=at):
        return ""
    person: Any = request.user
    return why_over(since, seen, TRUSTED if person.needs_second_factor else MEMBERS, at=at)


def _end(request: HttpRequest, words: str, at: datetime) -> None:
    person: Any = request.user
    actions.note_session_over(person, why=words, via="session", at=at)
    logout(request)
    messages.info(request, words)


def _note(request: HttpRequest, at: datetime) -> None:
    seen = _moment(request, SEEN)
    if seen is None or at - seen >= SEEN_EVERY:
        request.session[SEEN] = at.timestamp()
        actions.note_seen(request.session.session_key or "", via="session", at=at)


def _moment(request: HttpRequest, key: str) -> datetime | None:
    stamp = request.session.get(key)
    return datetime.fromtimestamp(stamp, UTC) if isinstance(stamp, int | float) else None
