"""A person's calendar as a file that calendar programs take in by themselves. Pure: entries in, bytes out.

Source: RFC 5545 (iCalendar): 3.6.1 VEVENT, 3.6.5 VTIMEZONE, 3.8.1.11 STATUS, 3.8.2.7 TRANSP, 3.8.7.2 DTSTAMP (when it
was last revised, as there is no METHOD), 3.8.7.3 LAST-MODIFIED, 3.8.7.4 SEQUENCE; RFC 7986: NAME, REFRESH-INTERVAL.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from typing import Any
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

PRODUCT = "-//Stubble//Club calendar//EN"
REFRESH = timedelta(hours=6)
NAMESPACE = UUID("6d3c5c0e-54f1-4d0c-9d53-2b7f0f7f6a31")  # made up once for this purpose
AROUND = timedelta(days=400)  # before and after the entries, so that each of them has its rule of the clock


class Status(StrEnum):
    CONFIRMED = "CONFIRMED"
    TENTATIVE = "TENTATIVE"
    CANCELLED = "CANCELLED"


@dataclass(frozen=True)
class Entry:
    """One event. `seed` never changes for one thing; `ends` is None for a whole day, which `starts` then is.

    `revision` only grows, and `changed` is when it last did.
    """

    seed: str
    starts: datetime | date
    ends: datetime | None
    summary: str
    description: str
    url: str
    status: Status
    busy: bool
    revision: int
    changed: datetime

    @property
    def uid(self) -> str:
        return str(uuid5(NAMESPACE, self.seed))


def write_calendar(name: str, entries: Sequence[Entry], zone: ZoneInfo) -> bytes:
    """The calendar in UTF-8, lines folded, CRLF; the same entries give the same bytes."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)  # what programs from before RFC 7986 read
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for entry in entries:
        calendar.add_component(_event(entry, zone))
    if days := [_day(entry.starts) for entry in entries if entry.ends is not None]:
        calendar.add_missing_timezones(min(days) - AROUND, max(days) + AROUND)
    return bytes(calendar.to_ical(sorted=False))


def _event(entry: Entry, zone: ZoneInfo) -> Event:
    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", entry.changed.astimezone(UTC))
    event.add("last-modified", entry.changed.astimezone(UTC))
    event.add("sequence", entry.revision)
    for name, value in (("dtstart", entry.starts), ("dtend", entry.ends)):
        if value is not None:
            event.add(name, _local(value, zone))
    if entry.ends is None:
        event.add("dtend", _day(entry.starts) + timedelta(1))
    event.add("summary", entry.summary)
    event.add("description", entry.description)
    event.add("url", entry.url)
    event.add("status", entry.status.value)
    event.add("transp", "OPAQUE" if entry.busy else "TRANSPARENT")
    return event


def _local(value: datetime | date, zone: ZoneInfo) -> Any:
    return value.astimezone(zone) if isinstance(value, datetime) else value


def _day(value: datetime | date) -> date:
    return value.date() if isinstance(value, datetime) else value
