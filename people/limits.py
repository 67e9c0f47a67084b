"""How often something may be tried: counted by django-allauth's own counter, in the cache that all processes share.

The library counts what goes through its own pages (ACCOUNT_RATE_LIMITS); this module counts ours with the same code,
so that the address of a visitor is worked out in one way (ALLAUTH_TRUSTED_PROXY_COUNT, IPv6 by /64). Its counter has
no public name: pyproject.toml holds the library to one series, and tests/views/test_limits.py notices a change.
"""

import math
import time

from allauth.core.internal import ratelimit
from django.core.cache import cache
from django.http import HttpRequest

APP = "stubble"
LIMITS = {
    "link": "20/600s/ip",  # private addresses that open nothing
    "code": "15/3600s/ip",  # one-time codes typed, right or wrong; each code has five tries of its own besides
    "accept": "20/600s/ip",  # passwords offered for an invitation or with a letter's address
    "forgotten": "10/600s/ip,3/3600s/key",  # letters asked for
    "key": "20/600s/ip",  # keys of other programs that open nothing
    "open": "300/60s/key",  # what one key, or one person signed in, asks of the open interface
    "file": "60/3600s/user",  # open files taken; everything in every format is thirty
    "old_password": "8/600s/user",  # the old password, typed to choose a new one
}
LIBRARY = "allauth.account"


def consume(request: HttpRequest, action: str, *, key: str | None = None) -> int:
    """Count one try. Seconds until the next one may be made; 0 when this one may go on."""
    if ratelimit.consume(request, app=APP, action=action, config=LIMITS, key=key, limit_get=True):
        return 0
    return max(1, wait_s(request, action, key=key))


def wait_s(
    request: HttpRequest,
    action: str,
    *,
    key: str | None = None,
    app: str = APP,
    config: dict[str, str] | None = None,
) -> int:
    """Seconds until one more try is allowed, without counting one; 0 when it is allowed now."""
    config = LIMITS if app == APP else config
    waits = [0.0]
    for rate in ratelimit.get_rates(app=app, action=action, config=config):
        if rate.per == "key" and key is None:
            continue
        name = ratelimit.get_cache_key(request, app=app, action=action, rate=rate, key=key)
        tries: list[float] = cache.get(name, [])  # the newest first
        if len(tries) >= rate.amount:
            waits.append(tries[rate.amount - 1] + rate.duration - time.time())
    return math.ceil(max(waits))
