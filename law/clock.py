"""When a duty falls due, as its clause counts: days, elapsed hours, or as soon as possible."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo


class ClockKind(StrEnum):
    """How a clause counts. No kind invents a number: each number stands in the pack with its source."""

    BEGINNING_WITH = "beginning_with"  # days, beginning with the later of the day after finding and belief
    DAYS_AFTER = "days_after"  # days after the day of finding
    HOURS = "hours"  # elapsed hours from the time of finding
    ASAP = "asap"  # the law gives no number
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Clock:
    """A clause's clock: its kind, its number, and a guide in months where guidance gives one.

    `statutory` is false where the number comes from guidance and not from the law itself.
    """

    kind: ClockKind
    number: int = 0
    guide_months: int = 0
    statutory: bool = True
    words: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """When: the last day, or the last moment, or as soon as possible; with a guide and a note on counting.

    `on` is a local date, both ends counted; `at` is an aware time in the place's zone.
    """

    on: date | None = None
    at: datetime | None = None
    asap: bool = False
    guide: date | None = None
    statutory: bool = True
    words: str = ""
    counted: str = ""  # the count spelled out, from the find to the last moment

    @property
    def last_day(self) -> date | None:
        """The last local day, whatever the clock; the guide where the law gives none."""
        return self.at.date() if self.at else self.on or self.guide

    def to_dict(self) -> dict[str, Any]:
        return {
            "on": self.on.isoformat() if self.on else None,
            "at": self.at.isoformat() if self.at else None,
            "asap": self.asap,
            "guide": self.guide.isoformat() if self.guide else None,
            "statutory": self.statutory,
            "words": self.words,
            "counted": self.counted,
        }

    @classmethod
    def from_dict(cls, stored: dict[str, Any]) -> Due:
        day = date.fromisoformat
        return cls(
            on=day(stored["on"]) if stored["on"] else None,
            at=datetime.fromisoformat(stored["at"]) if stored["at"] else None,
            asap=stored["asap"],
            guide=day(stored["guide"]) if stored["guide"] else None,
            statutory=stored["statutory"],
            words=stored["words"],
            counted=stored.get("counted", ""),
        )


def beginning_with(found: date, belief: date, days: int) -> date:
    """The last day of a period that begins with the later of the day after finding and the day of belief.

    Source: Treasure Act 1996 s.8(2). Both ends count, so 14 days end 13 days after the first.
    """
    return max(found + timedelta(days=1), belief) + timedelta(days=days - 1)


def hours_after(found: datetime, hours: int, tz: str) -> datetime:
    """The moment so many elapsed hours after an aware time, told in the place's zone.

    Source: National Monuments (Amendment) Act 1930 s.23 (Ireland) for the elapsed hours; counted in UTC, so
    that a change of the clocks neither adds nor takes an hour.
    """
    return (found.astimezone(UTC) + timedelta(hours=hours)).astimezone(ZoneInfo(tz))


def add_months(day: date, months: int) -> date:
    """The same day so many months on, or the last day of a shorter month."""
    years, month0 = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month0 + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


@lru_cache(maxsize=1 << 14)
def due(
    clock: Clock, *, found: date | None, found_at: datetime | None, belief: date | None, on: date, tz: str
) -> Due:
    """When the duty falls due. A find without a day is due as soon as possible and says so.

    Belief left out counts as the day of the find, the earliest it can be; a belief after `on`, the day of the
    screening, counts as that day, because being shown a possible duty is itself reason to believe.
    """
    if clock.kind in (ClockKind.ASAP, ClockKind.NONE):
        guide = add_months(found, clock.guide_months) if found and clock.guide_months else None
        counted = _guide_counted(found, clock.guide_months, guide) if found and guide else ""
        asap = clock.kind is ClockKind.ASAP
        return Due(asap=asap, guide=guide, statutory=not guide, words=clock.words, counted=counted)
    if found is None:
        return Due(
            asap=True, words=f"{clock.words} Say on which day it was found, so that it can be counted."
        )
    if clock.kind is ClockKind.HOURS:
        # Only a day: the strictest reading starts at its midnight.
        start = found_at or datetime.combine(found, time(), tzinfo=ZoneInfo(tz))
        end = hours_after(start, clock.number, tz)
        counted = _hours_counted(
            start.astimezone(ZoneInfo(tz)), clock.number, end, exact=found_at is not None
        )
        return Due(at=end, statutory=clock.statutory, words=clock.words, counted=counted)
    if clock.kind is ClockKind.DAYS_AFTER:
        last = found + timedelta(days=clock.number)
        counted = f"Found {day_words(found)} → {clock.number} days after that day → {day_words(last)}, 23:59 ({tz})."
        return Due(on=last, statutory=clock.statutory, words=clock.words, counted=counted)
    believed = min(belief or found, on)
    last = beginning_with(found, believed, clock.number)
    counted = _days_counted(found, believed, clock.number, last, tz)
    return Due(on=last, statutory=clock.statutory, words=clock.words, counted=counted)


@lru_cache(maxsize=4096)
def day_words(day: date) -> str:
    """17 May 2026."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def moment_words(moment: datetime) -> str:
    """17 May 2026, 14:30 (BST): the time of day in the zone of the moment itself."""
    return f"{day_words(moment.date())}, {moment:%H:%M} ({moment.tzname()})"


@lru_cache(maxsize=4096)
def _days_counted(found: date, believed: date, days: int, last: date, tz: str) -> str:
    first = last - timedelta(days=days - 1)
    belief = (
        "" if believed <= found + timedelta(days=1) else f", reason to believe from {day_words(believed)}"
    )
    return (
        f"Found {day_words(found)}{belief} → {days} days beginning with {day_words(first)}, which is day 1"
        f" → day {days} is {day_words(last)}, until 23:59 ({tz})."
    )


@lru_cache(maxsize=4096)
def _hours_counted(start: datetime, hours: int, end: datetime, *, exact: bool) -> str:
    begins = "" if exact else " (only the day is known, so it starts with that day)"
    turned = ""
    if start.utcoffset() != end.utcoffset():
        turned = " The clocks change in between; elapsed hours are counted all the same."
    return f"Found {moment_words(start)}{begins} → {hours} elapsed hours → {moment_words(end)}.{turned}"


@lru_cache(maxsize=4096)
def _guide_counted(found: date, months: int, guide: date) -> str:
    return f"Found {day_words(found)} → guidance says {months} month{'s' if months != 1 else ''} → {day_words(guide)}."
