"""A line of the log says what went wrong, and never where in the field. The rows are as PostgreSQL 17 prints them."""

import logging
import sys

import pytest

from web.plain_log import PlainLines, without_places

FAILED = (
    'new row for relation "finds_find" violates check constraint "find_place_whole"\n'
    "DETAIL:  Failing row contains (12, F-0012, 53.601341, 0.151937, TA 4251 3800, two\nlines)."
)


@pytest.mark.parametrize(
    "text",
    [
        "Self-intersection[0.151937 53.601341]",
        "Point outside: (-0.151937, 53.6013)",
        "moved to 542510 413800",
        "542510.25,413800.75 is not on land",
    ],
)
def test_a_place_in_a_message_is_left_out(text: str) -> None:
    shown = without_places(text)
    assert "…" in shown
    assert not any(part in shown for part in ("53.6013", "0.1519", "542510", "413800"))


@pytest.mark.parametrize("text", ["GET /finds/12/ 200", "took 0.123 s", "12 of 4000 rows", "version 13.0.0"])
def test_the_rest_stays(text: str) -> None:
    assert without_places(text) == text


def test_a_refused_row_is_not_told() -> None:
    line = formatted(ValueError(FAILED))
    assert "find_place_whole" in line
    assert "Traceback" in line
    assert not any(part in line for part in ("53.6013", "TA 4251", "F-0012", "two\nlines"))


def formatted(error: Exception) -> str:
    try:
        raise error
    except ValueError:
        record = logging.LogRecord("x", logging.ERROR, __file__, 1, "failed", None, sys.exc_info())
    return PlainLines("%(levelname)s %(message)s").format(record)


def test_what_somebody_typed_begins_no_line_of_its_own() -> None:
    record = logging.LogRecord(
        "x", logging.WARNING, __file__, 1, "Not Found: %s", ("/a\r\nERROR all gone",), None
    )
    assert PlainLines("%(levelname)s %(message)s").format(record).splitlines() == [
        "WARNING Not Found: /a\\r\\nERROR all gone"
    ]
