"""How long what is only held for a while is held: one table, which `manage.py tidy` applies.

Records, ledgers, the audit trail and what waits for a person are not in it: they stay until a person decides.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from allauth.usersessions.models import UserSession
from django.contrib.sessions.models import Session
from django.db.models import F, Q, QuerySet

from doors.models import AccessToken
from field.models import PhotoPart, PhotoUpload
from finds.models import FindImportDraft, HandOverLink
from hunts.models import PhotoDraft
from people.models import Letter, TableDraft
from people.outbox import KEEP_ROWS, KEEP_WORDS
from permissions.models import ImportDraft, LandholderLink, LinkCode

KEEP_CODES = timedelta(days=30)
KEEP_LINKS = timedelta(days=365)
"""After it closed: long enough to answer who could open what; the trail says who made it."""
KEEP_PARTS = timedelta(days=90)
"""A phone that has not gone on for a whole season's quarter begins its photograph anew, which it still holds."""


@dataclass(frozen=True)
class Rule:
    """`rows` go, or for letters lose their words, once their time is over at the moment given."""

    key: str
    words: str
    rows: Callable[[datetime], QuerySet[Any]]


def unfinished_photos(at: datetime) -> QuerySet[PhotoUpload]:
    """Photographs that never came whole, and of which nothing more has come."""
    return PhotoUpload.objects.filter(
        state=PhotoUpload.State.WAITING, received__gt=0, received__lt=F("size"), begun_at__lte=at - KEEP_PARTS
    )


def idle_parts(at: datetime) -> QuerySet[PhotoPart]:
    """Parts of those, and any of photographs that are settled."""
    settled = [PhotoUpload.State.STORED, PhotoUpload.State.LEFT_OUT]
    return PhotoPart.objects.filter(
        Q(upload__in=unfinished_photos(at).values("pk")) | Q(upload__state__in=settled)
    )


def idle_letters(at: datetime) -> QuerySet[Letter]:
    """Letters that are out of date or still hold words that nobody needs, and rows of more than a year."""
    wordy = Letter.objects.filter(made_at__lte=at - KEEP_WORDS, sent_at=None).exclude(text="", html="")
    return Letter.objects.out_of_date(at) | wordy | Letter.objects.filter(made_at__lte=at - KEEP_ROWS)


def closed_before(at: datetime) -> Q:
    return Q(expires_at__lte=at) | Q(revoked_at__lte=at)


RULES = (
    Rule(
        "sessions",
        "sign-ins that ended by themselves",
        lambda at: Session.objects.filter(expire_date__lte=at),
    ),
    Rule(
        "sign_ins",
        "entries in people's lists of sign-ins that ended",
        lambda at: UserSession.objects.exclude(
            session_key__in=Session.objects.filter(expire_date__gt=at).values("session_key")
        ),
    ),
    Rule(
        "land_files",
        "land files sent in and not used",
        lambda at: ImportDraft.objects.filter(expires_at__lte=at),
    ),
    Rule(
        "lists",
        "lists of people, land and finds sent in",
        lambda at: TableDraft.objects.filter(expires_at__lte=at),
    ),
    Rule("tables", "tables of finds sent in", lambda at: FindImportDraft.objects.filter(expires_at__lte=at)),
    Rule(
        "photos", "photographs of forms never sent", lambda at: PhotoDraft.objects.filter(expires_at__lte=at)
    ),
    Rule("parts", "parts of photographs that never came whole", idle_parts),
    Rule("codes", "one-time codes", lambda at: LinkCode.objects.filter(expires_at__lte=at - KEEP_CODES)),
    Rule(
        "landholder_links",
        "landholders' links that closed a year ago and were not answered by",
        lambda at: LandholderLink.objects.filter(closed_before(at - KEEP_LINKS), answers=None),
    ),
    Rule(
        "hand_over_links",
        "links to hand-overs that closed a year ago",
        lambda at: HandOverLink.objects.filter(closed_before(at - KEEP_LINKS)),
    ),
    Rule(
        "program_keys",
        "keys of other programs that ended a year ago",
        lambda at: AccessToken.objects.filter(closed_before(at - KEEP_LINKS)),
    ),
    Rule("letters", "letters that are out of date or long settled", idle_letters),
)
