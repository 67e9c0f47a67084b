"""Whether an account has the second factor that its rights ask for (docs/accounts.md)."""

from allauth.mfa.models import Authenticator
from django.conf import settings

from people.models import User


def has_second_factor(person: User) -> bool:
    """A passkey or an app; recovery codes alone are none."""
    found = Authenticator.objects.filter(user=person).exclude(type=Authenticator.Type.RECOVERY_CODES)
    return bool(found.exists())


def lacks_second_factor(person: User) -> bool:
    """Is this account held back until it sets one up?"""
    return settings.SECOND_FACTOR_REQUIRED and person.needs_second_factor and not has_second_factor(person)
