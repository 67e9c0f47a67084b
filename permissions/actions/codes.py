"""One-time codes for a landholder's page: sent to the address on file, tried at most five times, used once."""

import re
import secrets
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from people import audit
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.mail_choices import address_hash
from permissions.models import Landholder, LandholderLink, LinkCode

LASTS = timedelta(minutes=10)
TRIES = 5
AN_HOUR = timedelta(hours=1)
CODES_AN_HOUR = 5
"""With five tries a code: 25 guesses an hour among a hundred million."""
SAME_ASKING = timedelta(seconds=30)
"""A button pressed twice sends one letter."""
DIGITS = 8
_NOBODY = "0" * 64


class CodeError(Exception):
    """No code can be sent; the sentence says why and what to do."""


@transaction.atomic
def send_code(link: LandholderLink, *, via: str, at: datetime) -> LinkCode:
    """Send a new code to the address on file; it takes the place of any before. Asked twice at once it is one.

    Raises CodeError where no address is on file, and after five codes within an hour.
    """
    landholder = Landholder.objects.select_for_update().get(pk=link.landholder_id)
    if not landholder.email:
        raise CodeError(_("The club has no e-mail address of yours, so no code can be sent."))
    sent = LinkCode.objects.filter(link__landholder=landholder, made_at__gt=at - AN_HOUR)
    newest = sent.filter(link=link, used_at=None).first()
    if newest is not None and newest.made_at > at - SAME_ASKING:
        return newest
    if sent.count() >= CODES_AN_HOUR:
        again = min(sent.values_list("made_at", flat=True)) + AN_HOUR
        raise CodeError(
            _(
                "%(codes_an_hour)s codes were sent within an hour. Use the newest one, or ask again "
                "after %(again)s."
            )
            % {"codes_an_hour": CODES_AN_HOUR, "again": date_format(localtime(again), "H:i")}
        )
    code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}}"
    row = LinkCode.objects.create(
        link=link,
        digest=_digest(link, code),
        address_sha256=address_hash(landholder.email),
        made_at=at,
        expires_at=at + LASTS,
    )
    facts = {"landholder": landholder, "code": f"{code[:4]} {code[4:]}", "minutes": LASTS.seconds // 60}
    kind = LetterKind.ACCOUNT
    queue([compose(landholder.email, kind, "permissions/mail/code", facts, expires_at=row.expires_at)])
    audit.record("link.code", landholder, by=None, via=via, at=at, label=_label(link), link=link.pk)
    return row


@transaction.atomic
def use_code(link: LandholderLink, typed: str, *, via: str, at: datetime, client_id: UUID) -> LinkCode | None:
    """The newest code of the link if `typed` is it, in time and within its tries; None for anything else.

    Nothing tells a wrong code from one that ran out, was used or never was. A wrong one counts as a try: that is why
    this returns instead of raising. The same form sent twice is one use.
    """
    rows = LinkCode.objects.select_for_update(of=("self",)).filter(link=link)
    row = rows.first()
    plain = re.sub(r"[\s\-\u2010-\u2014]", "", typed)
    right = constant_time_compare(_digest(link, plain), row.digest if row else _NOBODY)
    if row is None or row.expires_at <= at or row.wrong >= TRIES:
        return None
    if not right:
        row.wrong += 1
        row.save(update_fields=["wrong"])
        return None
    if row.used_at is not None:
        return row if row.used_by == client_id else None
    row.used_at, row.used_by = at, client_id
    row.save(update_fields=["used_at", "used_by"])
    audit.record("link.opened", link.landholder, by=None, via=via, at=at, label=_label(link), link=link.pk)
    return row


def _digest(link: LandholderLink, code: str) -> str:
    """Keyed with the installation's secret: the table alone gives no code away, though there are few codes."""
    return salted_hmac("landholder-code", f"{link.pk}:{code}", algorithm="sha256").hexdigest()


def _label(link: LandholderLink) -> str:
    return f"landholder {link.landholder_id}"
