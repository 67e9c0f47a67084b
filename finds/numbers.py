"""Give out find numbers: one after another, never twice, and each gap with its reason."""

from datetime import datetime

from django.db.models import Max

from finds.models import FindNumber
from people.models import Club


def next_number(year: int, *, at: datetime) -> tuple[FindNumber, str]:
    """Return the next number of `year` and how it is written. Call inside a transaction.

    The club's one row is the lock, so that two people recording at once get two numbers.
    """
    Club.objects.get_or_create(pk=1, defaults={"name": "Club"})
    club = Club.objects.select_for_update().get(pk=1)
    last = FindNumber.objects.filter(year=year).aggregate(last=Max("serial"))["last"] or 0
    row = FindNumber.objects.create(year=year, serial=last + 1, given_at=at)
    return row, written(row, club.find_prefix)


def written(row: FindNumber, prefix: str) -> str:
    """The number as it stands on bags and reports, e.g. F2026-0042."""
    return f"{prefix}{row.year}-{row.serial:04}"
