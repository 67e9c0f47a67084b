"""The letter that tells a landholder that a report is there to read: an address, never a place or an attachment."""

from collections.abc import Callable
from datetime import datetime

from people.letter_kinds import LetterKind
from permissions.links import key_of
from permissions.models import Landholder, LandholderLink
from reports.mail import post
from reports.models import IssuedReport


def live_link(landholder: Landholder, at: datetime) -> LandholderLink | None:
    """The private link through which this landholder can read a report at `at`."""
    return landholder.links.live(at).first()


def may_be_told(landholder: Landholder | None, at: datetime) -> bool:
    """Has this landholder an e-mail address, and a link to send?"""
    return landholder is not None and bool(landholder.email) and live_link(landholder, at) is not None


def tell_landholder(row: IssuedReport, *, at: datetime, address_of: Callable[[str], str]) -> None:
    """Put the letter about one issued report into the outbox, once however often it is asked."""
    who = row.landholder
    if who is None or not may_be_told(who, at):
        return
    link = live_link(who, at)
    assert link is not None
    post(
        who.email,
        "report_ready",
        row.issued_by.email,
        kind=LetterKind.REPORT,
        dedupe_key=f"report:{row.pk}",
        expires_at=link.expires_at,
        landholder=who,
        row=row,
        address=address_of(key_of(link)),
        sender=row.issued_by.name,
    )
