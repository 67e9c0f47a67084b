"""Django's rules for a password in this site's own words: its Dutch says “u” to members, and part of it is English."""

from typing import Any

from django.contrib.auth import password_validation as rules
from django.utils.translation import gettext as _


class NotAboutYouValidator(rules.UserAttributeSimilarityValidator):
    """Refuses a password that is nearly the name or the e-mail address."""

    def get_error_message(self) -> str:
        return _("The password is too similar to your %(verbose_name)s.")

    def get_help_text(self) -> str:
        return _("Your password can't be much like your name or your e-mail address.")


class LongEnoughValidator(rules.MinimumLengthValidator):
    """Refuses a password with fewer characters than the settings say."""

    def get_error_message(self) -> Any:
        words = _("This password is too short. It must hold at least %(min_length)s characters.")
        return words % {"min_length": self.min_length}

    def get_help_text(self) -> str:
        return _("Your password must hold at least %(min_length)s characters.") % {
            "min_length": self.min_length
        }


class NotCommonValidator(rules.CommonPasswordValidator):
    """Refuses a password of Django's list of the twenty thousand that are used most."""

    def get_error_message(self) -> str:
        return _("This password is too common: it is one of those that are used most.")

    def get_help_text(self) -> str:
        return _("Your password can't be one that many people use.")
