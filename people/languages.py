"""In which language somebody is spoken to: their own, else the club's."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.utils import translation
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation.trans_real import parse_accept_lang_header

from people.models import Club

CLUBS_OWN = ("", _lazy("The club's language"))


def languages() -> list[tuple[str, str]]:
    """Each language with its name in itself, whatever language the page is in."""
    return [(code, str(name)) for code, name in settings.LANGUAGES]


def own_choices() -> list[tuple[str, Any]]:
    """What a person or a landholder may choose: the club's, or one of their own."""
    return [CLUBS_OWN, *languages()]


def club_language() -> str:
    found = Club.objects.filter(pk=1).values_list("language", flat=True).first()
    return found or settings.LANGUAGE_CODE


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Everything said inside is said in `language`; the empty text stands for the club's."""
    with translation.override(language or club_language()):
        yield


def club_of(request: HttpRequest) -> Club:
    """The settings row, read once a request, or an unsaved one where the club was not set up."""
    found: Club | None = getattr(request, "club", None)
    if found is None:
        found = Club.objects.filter(pk=1).first() or Club(name="Stubble")
        request.club = found  # type: ignore[attr-defined]
    return found


def language_for(request: HttpRequest) -> tuple[str, bool]:
    """The language of an answer, and whether the browser's own wish decided it.

    Who is signed in gets their own. The browser is asked only where nobody is known: a phone that was lent, or a
    browser in another language, says nothing about somebody whom we know.
    """
    user = getattr(request, "user", None)
    if user is not None and user.is_authenticated:
        return user.language or club_of(request).language, False
    wished = _wished(request)
    return wished or club_of(request).language, True


def speak_to(request: HttpRequest, language: str) -> None:
    """From here on the answer is in `language`: a view has learned who reads (the empty text: the club's)."""
    translation.activate(language or club_of(request).language)
    request.speaks_by_wish = False  # type: ignore[attr-defined]


def language_of(facts: dict[str, Any]) -> str:
    """The language of whoever a letter is for, among its facts; empty where they have none of their own."""
    readers = (facts.get(name) for name in ("reader", "signer", "person", "landholder"))
    return next(
        (str(getattr(reader, "language", "")) for reader in readers if hasattr(reader, "language")), ""
    )


def _wished(request: HttpRequest) -> str | None:
    for wish, _weight in parse_accept_lang_header(request.headers.get("Accept-Language", "")):
        if wish == "*":
            return None
        try:
            return translation.get_supported_language_variant(wish)
        except LookupError:
            continue
    return None
