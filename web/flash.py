"""Messages that wait for the next page, in a cookie that only this host over HTTPS can set."""

from django.contrib.messages.storage.cookie import CookieStorage
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.messages.storage.session import SessionStorage


class HostCookie(CookieStorage):
    cookie_name = "__Host-messages"


class HostStorage(FallbackStorage):
    """As Django's own, under a name with the prefix of RFC 6265bis, 4.1.3.2."""

    storage_classes = (HostCookie, SessionStorage)
