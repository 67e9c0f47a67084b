"""Two factors for those who need them: how the library keeps them, and the gate in front of everything else."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

import segno
from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.models import Authenticator
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import gettext_noop as _noop

from people.languages import club_of
from people.mail_message import club_name
from people.models import User
from people.sealing import SealError, seal, unseal
from people.second_factors import has_second_factor

HAS_ONE = "has_second_factor"
OPEN_WITHOUT = frozenset(
    {
        "people:sign_in",
        "people:sign_out",
        "people:password_change",
        "account_reauthenticate",
        "mfa_index",
        "mfa_activate_totp",
        "mfa_add_webauthn",
        "mfa_list_webauthn",
        "mfa_reauthenticate",
        "mfa_reauthenticate_webauthn",
        "mfa_view_recovery_codes",
        "mfa_download_recovery_codes",
    }
)
SET_UP_FIRST = _noop(
    "Your role opens what others trusted the club with, so your account needs a second way to show that it is you. "
    "Set up a passkey or an app that makes codes; it takes two minutes."
)
CLUB_ASKS = _noop(
    "This club asks everybody for a second way to show that it is you. Set up a passkey or an app that makes codes; it "
    "takes two minutes."
)
UNREADABLE = _lazy(
    "The second factor of this account cannot be read on this server any more. Use a passkey, or ask the club's "
    "secretary to take the second factors off your account."
)


class UnreadableError(ValidationError):
    """Sealed with a key that this server does not have: said in a form, or by the middleware where there is none."""


class SecondFactorDoor(DefaultMFAAdapter):  # type: ignore[misc]
    """The library's adapter for second factors: sealed secrets, the club's name, plain words."""

    error_messages = {
        **DefaultMFAAdapter.error_messages,
        "incorrect_code": (
            _lazy(
                "That is not right, or it was used already. A code of the app is good for half a minute, a "
                "recovery code "
                "once; check the clock of the phone, and try the next one."
            )
        ),
    }

    def encrypt(self, text: str) -> str:
        return seal(text)

    def decrypt(self, encrypted_text: str) -> str:
        try:
            return unseal(encrypted_text)
        except SealError as error:
            raise UnreadableError(UNREADABLE) from error

    def get_totp_issuer(self) -> str:
        return club_name()

    def build_totp_svg(self, url: str) -> str:
        """On white ground, so that a dark page does not swallow it."""
        out = BytesIO()
        segno.make(url, error="m").save(out, kind="svg", xmldecl=False, scale=5, border=4, light="#fff")
        return out.getvalue().decode()

    def _get_site_name(self) -> str:
        return club_name()

    def generate_authenticator_name(self, user: User, type: Any) -> str:  # noqa: A002 - the library's name
        number = Authenticator.objects.filter(user=user, type=type).count() + 1
        return _("My passkey") if number == 1 else _("Passkey %(number)s") % {"number": number}


class SecondFactorMiddleware:
    """Let an account that needs a second factor and has none reach the pages that set one up, and nothing else."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        if not _is_held_back(request):
            return None
        match = request.resolver_match
        if match is not None and match.view_name in OPEN_WITHOUT:
            return None
        if not getattr(view, "login_required", True):
            request.user = AnonymousUser()  # open to everybody: it shows what it shows to everybody
            return None
        messages.warning(request, _(SET_UP_FIRST if _role_needs_one(request.user) else CLUB_ASKS))
        return redirect("mfa_index")

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, UnreadableError):
            return None
        messages.error(request, exception.messages[0])
        return redirect("people:me")


def _is_held_back(request: HttpRequest) -> bool:
    """A session with a second factor has it for good: adding or removing one ends all others, and this one's note."""
    person: Any = request.user
    if not person.is_authenticated or request.session.get(HAS_ONE) == person.sessions_epoch:
        return False
    if not _role_needs_one(person) and not club_of(request).everybody_needs_two:
        return False
    found = has_second_factor(person)
    if found:
        request.session[HAS_ONE] = person.sessions_epoch
    return not found


def _role_needs_one(person: Any) -> bool:
    return bool(settings.SECOND_FACTOR_REQUIRED and person.needs_second_factor)
