"""The parameter `datetime`: the grammar of OGC 17-069r4, /req/core/fc-time-response, over RFC 3339, section 5.6."""

import re
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doors.moments import EARLIEST, LATEST, PATTERN, read_interval


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type]


# The examples of the standard's own parameter, and those of RFC 3339, section 5.8.
READ = {
    "2018-02-12T23:20:50Z": (utc(2018, 2, 12, 23, 20, 50),) * 2,
    "2018-02-12T00:00:00Z/2018-03-18T12:31:12Z": (utc(2018, 2, 12), utc(2018, 3, 18, 12, 31, 12)),
    "2018-02-12T00:00:00Z/..": (utc(2018, 2, 12), None),
    "../2018-03-18T12:31:12Z": (None, utc(2018, 3, 18, 12, 31, 12)),
    "2018-02-12T00:00:00Z/": (utc(2018, 2, 12), None),
    "/2018-03-18T12:31:12Z": (None, utc(2018, 3, 18, 12, 31, 12)),
    "1985-04-12T23:20:50.52Z": (utc(1985, 4, 12, 23, 20, 50, 520000),) * 2,
    "1996-12-19T16:39:57-08:00": (utc(1996, 12, 20, 0, 39, 57),) * 2,
    "1990-12-31T23:59:60Z": (utc(1990, 12, 31, 23, 59, 59, 999999),) * 2,
    "1990-12-31T15:59:60-08:00": (utc(1990, 12, 31, 23, 59, 59, 999999),) * 2,
    "1937-01-01T12:00:27.87+00:20": (utc(1937, 1, 1, 11, 40, 27, 870000),) * 2,
    "1985-04-12t23:20:50z": (utc(1985, 4, 12, 23, 20, 50),) * 2,
    "2024-02-29T00:00:00Z": (utc(2024, 2, 29),) * 2,
    "0000-01-01T00:00:00Z": (EARLIEST,) * 2,
    "9999-12-31T23:59:59-12:00": (LATEST,) * 2,
}
WRONG = [
    "",
    "..",
    "../..",
    "/",
    "2018",
    "2018-02-12",
    "2018-02-12T23:20Z",
    "2018-02-12T23:20:50",
    "2018-02-12 23:20:50Z",
    "2018-02-29T00:00:00Z",
    "2100-02-29T00:00:00Z",
    "2018-04-31T00:00:00Z",
    "2018-13-01T00:00:00Z",
    "2018-02-12T24:00:00Z",
    "2018-02-12T23:20:50+24:00",
    "2018-02-12T23:20:50Z/2018-02-13T00:00:00Z/..",
    "2018-02-12T23:20:50Z\n",
    "٢٠١٨-02-12T23:20:50Z",
]


@pytest.mark.parametrize("text", READ)
def test_moments_and_intervals_are_read(text: str) -> None:
    assert read_interval(text) == READ[text]


@pytest.mark.parametrize("text", WRONG)
def test_everything_else_is_none(text: str) -> None:
    assert read_interval(text) is None


@given(st.datetimes(min_value=datetime(2, 1, 2), max_value=datetime(9998, 12, 30)), st.integers(-1439, 1439))
def test_what_python_writes_is_read_as_python_reads_it(moment: datetime, minutes: int) -> None:
    """The standard library's own reading, for every zone that RFC 3339 can say."""
    sign = "-" if minutes < 0 else "+"
    text = f"{moment.isoformat(timespec='microseconds')}{sign}{abs(minutes) // 60:02}:{abs(minutes) % 60:02}"
    wanted = datetime.fromisoformat(text).astimezone(UTC)
    assert read_interval(text) == (min(max(wanted, EARLIEST), LATEST),) * 2


@given(st.from_regex(re.compile(PATTERN, re.ASCII)))
def test_whatever_fits_the_published_pattern_is_read(text: str) -> None:
    assert (read_interval(text) is None) == text.endswith("\n")
