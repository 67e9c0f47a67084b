"""Secrets that must be read back, sealed with a key that is not in the database.

The key follows from DJANGO_SECRET_KEY (HKDF, RFC 5869); the seal is Fernet (AES-128-CBC and HMAC-SHA-256). While a new
secret key takes over, those in DJANGO_SECRET_KEY_FALLBACKS still open what they sealed.
"""

from base64 import urlsafe_b64encode
from functools import cache

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings
from django.utils.translation import gettext as _

PURPOSE = b"stubble: secrets of second factors"


class SealError(Exception):
    """What is stored cannot be opened with the keys that are set."""


def seal(text: str) -> str:
    """The text, sealed with the newest key."""
    return _keys(settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS).encrypt(text.encode()).decode("ascii")


def unseal(sealed: str) -> str:
    """The text again. Raises SealError when no key opens it, as after a move to a server with another secret key."""
    try:
        return _keys(settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS).decrypt(sealed).decode()
    except InvalidToken as error:
        raise SealError(_("It was sealed with a key that is not set here.")) from error


@cache
def _keys(*secrets: str) -> MultiFernet:
    return MultiFernet([Fernet(_derived(secret)) for secret in secrets])


def _derived(secret: str) -> bytes:
    key = HKDF(algorithm=SHA256(), length=32, salt=None, info=PURPOSE).derive(secret.encode())
    return urlsafe_b64encode(key)
