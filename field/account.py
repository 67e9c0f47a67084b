"""The name under which a phone keeps an account's records: it tells two accounts apart and says nothing else."""

from django.utils.crypto import salted_hmac

from people.models import User


def account_of(user: User) -> str:
    """24 hexadecimal digits that stand for the account; nobody gets from them to a person without the secret key."""
    return salted_hmac("field.account", str(user.pk), algorithm="sha256").hexdigest()[:24]
