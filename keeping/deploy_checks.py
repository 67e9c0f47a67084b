"""What `manage.py check --deploy` tells a club about its own installation, in words: settings that are unsafe.

Django's own checks of the same run speak of headers and cookies, which this program's settings get right already.
"""

import time
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.apps import AppConfig
from django.conf import settings
from django.core import checks
from django.core.checks import CheckMessage, Tags, register
from django.db import DatabaseError
from django.utils.timezone import localtime

from keeping.disk_checks import is_empty_sqlite
from keeping.least import may_rewrite_ledgers
from law.pack import load_packs
from people.kept import is_watched, last_kept, was_kept_within
from people.models import Club

SHORTEST_KEY, FEWEST_LETTERS = 50, 5
"""Django's own measure (security.W009)."""
NEW_KEY = "python -c 'import secrets; print(secrets.token_urlsafe(64))'"
PLACELESS = ("UTC", "GMT", "Zulu", "Universal", "UCT", "Etc/")


def _told(number: int, words: str, hint: str) -> CheckMessage:
    return checks.Warning(words, hint=hint, id=f"stubble.W0{number}")


@register(Tags.security, deploy=True)
def settings_are_safe(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    return [*_secrets(), *_storage(), *_scanner(), *_several()]


def _secrets() -> Iterator[CheckMessage]:
    if settings.DEBUG:
        yield _told(
            30,
            "DJANGO_DEBUG is on: whoever meets an error reads the program's memory, findspots and passwords included.",
            "Leave DJANGO_DEBUG out of the settings of the server.",
        )
    key = settings.SECRET_KEY
    if len(key) < SHORTEST_KEY or len(set(key)) < FEWEST_LETTERS or key.startswith("django-insecure-"):
        yield _told(
            31,
            f"DJANGO_SECRET_KEY has {len(key)} characters and can be guessed; whoever does signs in as anybody.",
            f"Set it to the output of {NEW_KEY}. Links sent in e-mails before then stop working.",
        )


def _storage() -> Iterator[CheckMessage]:
    storage: dict[str, Any] = dict(settings.STORAGES["default"])
    endpoint = storage.get("OPTIONS", {}).get("endpoint_url") or ""
    if endpoint.startswith("http://"):
        yield _told(
            38,
            f"Photographs go to {endpoint} unencrypted: whoever is on the way reads them.",
            "Give MEDIA_S3_ENDPOINT an address that begins with https://.",
        )


def _scanner() -> Iterator[CheckMessage]:
    if not settings.VIRUS_SCANNER:
        yield _told(
            48,
            "No scanner looks at the PDFs that show a consent or a report: what somebody sends is handed to others.",
            "Install one (docs/running.md) and set VIRUS_SCANNER=unix:///run/clamav/clamd.ctl.",
        )


def _several() -> Iterator[CheckMessage]:
    if settings.WEB_PROCESSES < 2:
        return
    if str(settings.CACHES["default"]["BACKEND"]).endswith("LocMemCache"):
        yield _told(
            33,
            f"{settings.WEB_PROCESSES} processes serve the site and each has a cache of its own, so what one counts or "
            "remembers the others do not.",
            "Use the cache in the database (CACHES in config/settings.py), as the program comes.",
        )


@register(Tags.security, deploy=True)
def the_clock_is_the_clubs(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Warn where days begin at another hour than at the club: windows, seasons and clocks of the law hang on days."""
    name = settings.TIME_ZONE
    if name.startswith(PLACELESS):
        words = f"CLUB_TIME_ZONE is “{name}”, which no club lives by: it knows no summer time."
        return [_told(36, words, "Set it to the club's own, for example Europe/London.")]
    own = _zone_of_law()
    if own and not _same_hours(name, own):
        words = f"CLUB_TIME_ZONE is “{name}”, and the clocks of the club's law run in “{own}”: days end at other hours."
        return [_told(36, words, f"Set CLUB_TIME_ZONE={own}, unless the club lives by another clock.")]
    return []


def _zone_of_law() -> str:
    """The zone of the law that the club set, where there is a club yet."""
    try:
        club = None if is_empty_sqlite() else Club.objects.first()
    except DatabaseError:
        return ""
    pack = load_packs().get(club.jurisdiction) if club else None
    return pack.tz if pack else ""


def _same_hours(one: str, other: str) -> bool:
    """Do both clocks show the same in every week of this decade?"""
    try:
        zones = ZoneInfo(one), ZoneInfo(other)
    except ZoneInfoNotFoundError:
        return False
    start = datetime(2025, 1, 1, tzinfo=UTC)
    moments = (start + timedelta(weeks=week) for week in range(520))
    return all(len({each.astimezone(zone).utcoffset() for zone in zones}) == 1 for each in moments)


@register(Tags.security, deploy=True)
def somebody_looks_for_updates(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Warn where nobody fetched a newer release for a month: docs/asvs.md, “Libraries”, promises to be that quick.

    Fetching writes git's FETCH_HEAD; where there is no git the list of packages is as old as the release.
    """
    marks = (settings.BASE_DIR / name for name in ("requirements.txt", ".git/FETCH_HEAD"))
    newest = max((mark.stat().st_mtime for mark in marks if mark.exists()), default=0)
    days = int((time.time() - newest) / 86400)
    if not settings.UPDATE_WARN_DAYS or days <= settings.UPDATE_WARN_DAYS:
        return []
    words = f"Nobody has fetched a newer release for {days} days; holes that were found in it since are open."
    return [
        _told(49, words, "Update (docs/running.md). UPDATE_WARN_DAYS says after how many days this is told.")
    ]


@register("accounts", deploy=True)
def the_past_cannot_be_rewritten(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    """Warn where the site's own account of PostgreSQL may change ledgers. No tables yet, or no database: no matter."""
    try:
        if is_empty_sqlite() or not may_rewrite_ledgers():
            return []
    except DatabaseError:
        return []
    words = "The account of the database owns its tables, so whoever takes over the site can rewrite what was kept."
    hint = "Run the site as another: manage.py grant_least (docs/running.md). While migrating as the owner it is right."
    return [_told(39, words, hint)]


@register("backups", deploy=True)
def a_backup_is_recent(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """Warn where the trail knows of no backup of the last days. A database that cannot be asked is another matter."""
    if not is_watched() or is_empty_sqlite():
        return []
    try:
        if not Club.objects.exists():
            return []
        if was_kept_within(timedelta(days=settings.BACKUP_WARN_DAYS)):
            return []
        last = last_kept().backup
    except DatabaseError:
        return []
    words = (
        f"The last backup was made on {localtime(last):%-d %b %Y}." if last else "No backup was ever made."
    )
    hint = "Run manage.py backup every night and let its failure be told to somebody; see docs/keeping.md."
    return [_told(21, words, hint)]
