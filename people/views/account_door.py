"""How django-allauth asks this project: who may sign in, what is kept of it, and which letter leaves."""

from datetime import timedelta
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.account.internal.flows.login import get_authentication_records
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.timezone import now
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people import actions, limits
from people.account_words import OF_LIBRARY
from people.languages import speaking
from people.models import User, account_at
from people.views.limits import words_of_wait
from people.views.session_rules import begun_at, keep_this_one

JUST_NOW = timedelta(minutes=10)
NOT_TOGETHER = _lazy(
    "That e-mail address and password do not go together. Check both; capital letters count in the password."
)


class AccountDoor(DefaultAccountAdapter):  # type: ignore[misc]
    """The library's account adapter: accounts are made by invitation only, letters go by the outbox."""

    error_messages = {
        **DefaultAccountAdapter.error_messages,
        "email_password_mismatch": NOT_TOGETHER,
        "incorrect_password": _lazy("That is not the password of this account. Capital letters count."),
        "too_many_login_attempts": _lazy(
            "There were too many tries that failed. Try again in five minutes at the latest."
        ),
        "rate_limited": _lazy("That was tried too often. Wait five minutes, then try again."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def pre_authenticate(self, request: HttpRequest, **credentials: Any) -> None:
        """Count the try; when there were too many, say when the next may be made."""
        try:
            super().pre_authenticate(request, **credentials)
        except ValidationError as error:
            key = self._get_login_attempts_cache_key(request, **credentials)
            wait = limits.wait_s(request, "login_failed", key=key, app=limits.LIBRARY)
            raise ValidationError(
                _(
                    "There were too many tries that failed. Try again after %(words_of_wait)s; a passkey "
                    "works meanwhile."
                )
                % {"words_of_wait": words_of_wait(wait)},
                code="too_many_login_attempts",
            ) from error

    def authentication_failed(self, request: HttpRequest, **credentials: Any) -> None:
        person = account_at(str(credentials.get("email", "")))
        if person is not None:
            actions.note_failed_sign_in(person, how="password", via="sign-in", at=now())

    def reauthenticate(self, user: User, password: str) -> bool:
        found = self.authenticate(self.request, email=user.email, password=password)
        return found is not None and found.pk == user.pk

    def is_reauthentication_required(self, *, app: str, **kwargs: Any) -> bool:
        """Not for who signed in just now: they have this moment shown all they have."""
        begun = begun_at(self.request)
        return begun is None or now() - begun > JUST_NOW

    def respond_user_inactive(self, request: HttpRequest, user: User) -> HttpResponse:
        messages.error(request, _("This account is switched off. Please ask the club's secretary."))
        return redirect("people:sign_in")

    def post_login(self, request: HttpRequest, user: User, **kwargs: Any) -> HttpResponse:
        actions.note_sign_in(user, how=_how(request, user), via="sign-in", at=now())
        response: HttpResponse = super().post_login(request, user, **kwargs)
        return response

    def send_notification_mail(self, template_prefix: str, user: User, *args: Any, **kwargs: Any) -> None:
        """Something about how `user` signs in has changed: trail, letter, and the end of their other sign-ins."""
        change = OF_LIBRARY[template_prefix]
        actions.note_change(user, change, by=user, via="", at=now())
        if change.is_of_factors:
            with speaking(""):  # a word of the trail
                why = str(change.words)
            actions.end_sessions(user.pk, why=why, by=user, via="", at=now())
            keep_this_one(self.request, user.pk)

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Nothing leaves past the outbox: the pages that would write a letter of the library's own are not routed."""
        raise NotImplementedError(template_prefix)


def _how(request: HttpRequest, user: User) -> str:
    """By what somebody has shown who they are in this sign-in."""
    records = get_authentication_records(request, user)
    parts = [
        _("passkey alone") if r.get("passwordless") else str(r.get("type") or r["method"]) for r in records
    ]
    return " and ".join(dict.fromkeys(parts))[:80]


def code_failed(sender: Any, user: User, **kwargs: Any) -> None:
    """A code was wrong, at the sign-in or later."""
    actions.note_failed_sign_in(user, how="code", via="sign-in", at=now())
