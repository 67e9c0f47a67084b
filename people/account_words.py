"""What can change about how somebody signs in, in words for the person it belongs to (pure)."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


class Change(StrEnum):
    """The value is the verb on the audit trail."""

    PASSWORD = "password_changed"  # noqa: S105 - the name of an event
    APP_ADDED = "app_added"
    APP_REMOVED = "app_removed"
    PASSKEY_ADDED = "passkey_added"
    PASSKEY_REMOVED = "passkey_removed"
    CODES_MADE = "recovery_codes_made"
    ADDRESS = "address_changed"
    FACTORS_OFF = "factors_taken_off"

    @property
    def words(self) -> StrOrPromise:
        return WORDS[self]

    @property
    def is_of_factors(self) -> bool:
        return self in (Change.APP_ADDED, Change.APP_REMOVED, Change.PASSKEY_ADDED, Change.PASSKEY_REMOVED)


WORDS = {
    Change.PASSWORD: _lazy("The password was changed"),
    Change.APP_ADDED: _lazy("An app that makes codes was added"),
    Change.APP_REMOVED: _lazy("The app that makes codes was removed"),
    Change.PASSKEY_ADDED: _lazy("A passkey was added"),
    Change.PASSKEY_REMOVED: _lazy("A passkey was removed"),
    Change.CODES_MADE: _lazy("New recovery codes were made; the old ones no longer work"),
    Change.ADDRESS: _lazy("The e-mail address was changed, and this is the last letter to the old one"),
    Change.FACTORS_OFF: _lazy("The app, passkeys and recovery codes were taken off"),
}

OF_LIBRARY = {
    "mfa/email/totp_activated": Change.APP_ADDED,
    "mfa/email/totp_deactivated": Change.APP_REMOVED,
    "mfa/email/webauthn_added": Change.PASSKEY_ADDED,
    "mfa/email/webauthn_removed": Change.PASSKEY_REMOVED,
    "mfa/email/recovery_codes_generated": Change.CODES_MADE,
}
"""django-allauth's name of the letter it would send, and what has happened by it."""


def device(user_agent: str) -> str:
    """Browser and system in words, as far as the browser says so; good enough to know one's own phone again."""
    browser = next((words for mark, words in BROWSERS if mark in user_agent), _("Another browser"))
    system = next((words for mark, words in SYSTEMS if mark in user_agent), _("another system"))
    return _("%(browser)s on %(system)s") % {"browser": browser, "system": system}


# The first that fits: several call themselves by older names too.
BROWSERS = (
    ("Edg", "Edge"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("Chrome", "Chrome"),
    ("CriOS", "Chrome"),
    ("Safari", "Safari"),
)
SYSTEMS = (
    ("iPhone", _lazy("an iPhone")),
    ("iPad", _lazy("an iPad")),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Mac OS X", _lazy("a Mac")),
    ("CrOS", _lazy("a Chromebook")),
    ("Linux", "Linux"),
)
