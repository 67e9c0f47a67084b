"""Moments and intervals as the parameter `datetime` has them.

Source: OGC 17-069r4, /req/core/fc-time-response (the grammar); RFC 3339, section 5.6 (date-time).
"""

import re
from datetime import UTC, datetime

_DAY = (
    r"(?:(?:\d{4})-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12]\d|3[01])|(?:0[469]|11)-(?:0[1-9]|[12]\d|30)|02-(?:0[1-9]|1\d|2[0-8]))"
    r"|(?:\d\d(?:0[48]|[2468][048]|[13579][26])|(?:[02468][048]|[13579][26])00)-02-29)"
)
_CLOCK = r"(?:[01]\d|2[0-3]):[0-5]\d:(?:[0-5]\d|60)(?:\.\d+)?"
_ZONE = r"(?:[Zz]|[+-](?:[01]\d|2[0-3]):[0-5]\d)"
DATE_TIME = rf"{_DAY}[Tt]{_CLOCK}{_ZONE}"
PATTERN = rf"^(?:{DATE_TIME}|{DATE_TIME}/{DATE_TIME}|(?:\.\.)?/{DATE_TIME}|{DATE_TIME}/(?:\.\.)?)$"
"""A moment, an interval, or one that is open at one end, as a regular expression that JavaScript reads as well."""
_WHOLE = re.compile(PATTERN, re.ASCII)
_PARTS = re.compile(r"(\d{4})(.{14}\d)(?:\.(\d+))?([Zz]|[+-]\d\d:\d\d)", re.ASCII)
EARLIEST, LATEST = datetime(2, 1, 1, tzinfo=UTC), datetime(9998, 12, 31, tzinfo=UTC)
"""What lies beyond is as good as these: no record does, and no zone takes them out of the calendar."""
Interval = tuple[datetime | None, datetime | None]


def read_interval(text: str) -> Interval | None:
    """First and last moment, None for an open end; None altogether where the text is neither moment nor interval."""
    if not _WHOLE.match(text) or "\n" in text:
        return None
    first, slash, last = text.partition("/")
    since = _moment(first)
    return since, _moment(last) if slash else since


def _moment(text: str) -> datetime | None:
    """A leap second counts as the last moment before it; more than six decimals are cut."""
    if text in {"", ".."}:
        return None
    found = _PARTS.fullmatch(text)
    assert found is not None
    year, rest, decimals, zone = found.groups()
    if not "0002" <= year <= "9998":
        return EARLIEST if year < "0002" else LATEST
    micros = (decimals or "")[:6].ljust(6, "0")
    if rest.endswith(":60"):
        rest, micros = f"{rest[:-2]}59", "999999"
    plain = f"{year}{rest.upper()}.{micros}{'+00:00' if zone in 'Zz' else zone}"
    return min(max(datetime.fromisoformat(plain).astimezone(UTC), EARLIEST), LATEST)
