"""Give out find numbers: one after another, never twice, and each gap with its reason."""

from collections import Counter
from collections.abc import Sequence
from datetime import datetime

from django.db.models import Max

from finds.models import FindNumber
from people.models import Club


def next_number(year: int, *, at: datetime) -> tuple[FindNumber, str]:
    """Return the next number of `year` and how it is written. Call inside a transaction."""
    return next_numbers([(year, at)])[0]


def next_numbers(wanted: Sequence[tuple[int, datetime]]) -> list[tuple[FindNumber, str]]:
    """The next numbers, one for each year and moment in their order. Call inside a transaction.

    The club's one row is the lock, so that two people recording at once get two numbers.
    """
    held = Club.objects.only("find_prefix").select_for_update().filter(pk=1)
    club = held.first()
    if club is None:
        Club.objects.get_or_create(pk=1, defaults={"name": "Club"})
        club = held.get()
    lasts = (
        FindNumber.objects.filter(year__in={year for year, _at in wanted})
        .order_by()
        .values("year")
        .annotate(last=Max("serial"))
    )
    given = Counter({row["year"]: row["last"] for row in lasts})
    rows = []
    for year, at in wanted:
        given[year] += 1
        rows.append(FindNumber(year=year, serial=given[year], given_at=at))
    FindNumber.objects.bulk_create(rows)
    return [(row, written(row, club.find_prefix)) for row in rows]


def written(row: FindNumber, prefix: str) -> str:
    """The number as it stands on bags and reports, e.g. F2026-0042."""
    return f"{prefix}{row.year}-{row.serial:04}"
