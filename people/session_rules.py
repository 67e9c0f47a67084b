"""How long a sign-in lasts (pure): the longest in all, and the longest without a sign of life.

Source: OWASP ASVS 5.0, V7.3.1 and V7.3.2, which ask for both limits and for the reasons behind the figures; the
figures are this project's (docs/accounts.md says why), the requirement numbers are from memory.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _


@dataclass(frozen=True, slots=True)
class Limits:
    in_all: timedelta
    idle: timedelta


MEMBERS = Limits(in_all=timedelta(days=30), idle=timedelta(days=7))
"""A phone in a pocket that is needed on a field without a network every other Sunday."""
TRUSTED = Limits(in_all=timedelta(days=7), idle=timedelta(hours=12))
"""Accounts that can change the club's records or read what is locked: no day begins with yesterday's sign-in."""
SEEN_EVERY = timedelta(minutes=5)
"""How often a sign of life is written down: a page must not cost a write."""


def why_over(since: datetime, seen: datetime, limits: Limits, *, at: datetime) -> str:
    """Why a session that began at `since` and was last used at `seen` has ended by `at`; nothing while it goes on."""
    if at - since >= limits.in_all:
        return _("You signed in more than %(in_all_days)s days ago") % {"in_all_days": limits.in_all.days}
    if at - seen >= limits.idle:
        return _("This browser was not used for %(words)s") % {"words": _words(limits.idle)}
    return ""


def may_be_over(since: datetime, seen: datetime, *, at: datetime) -> bool:
    """Would the shorter limits end it? Where not, nobody needs to be asked which of them hold."""
    return bool(why_over(since, seen, TRUSTED, at=at))


def _words(span: timedelta) -> str:
    return (
        _("%(span_days)s days") % {"span_days": span.days}
        if span.days
        else _("%(value)s hours") % {"value": span.seconds // 3600}
    )
