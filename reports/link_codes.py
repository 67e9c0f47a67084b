"""Which browser has typed the code of a landholder's link: a signed cookie that ends with the browser's session."""

from datetime import timedelta

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

from people.mail_choices import address_hash
from permissions.models import LandholderLink, LinkCode

SALT = "landholder-code-typed"
LASTS = timedelta(hours=12)
"""A browser that is never closed asks again after this."""


def remember(response: HttpResponseBase, link: LandholderLink, code: LinkCode) -> None:
    """Let this browser open the link until it is closed."""
    response.set_signed_cookie(
        _name(link),
        str(code.pk),
        salt=SALT,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def is_remembered(request: HttpRequest, link: LandholderLink) -> bool:
    """Did this browser type a code that was sent to the address on file as it is now?"""
    said = request.get_signed_cookie(_name(link), default="", salt=SALT, max_age=LASTS)
    if not said or not said.isdecimal():
        return False
    used = LinkCode.objects.filter(pk=int(said), link=link, used_at__isnull=False)
    return used.filter(address_sha256=address_hash(link.landholder.email)).exists()


def _name(link: LandholderLink) -> str:
    prefix = "__Host-" if settings.SESSION_COOKIE_SECURE else ""  # RFC 6265bis, 4.1.3.2
    return f"{prefix}page{link.pk}"
