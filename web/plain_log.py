"""Lines of the log: what went wrong and where in the program, never where in the field.

A database that refuses a row tells all of it ("DETAIL: Failing row contains (…)", PostgreSQL), and a geometry library
names the point that it cannot read. Both would put a findspot into a log that more people read than may see it.
"""

import logging
import re
import time
from types import TracebackType

_DETAIL = re.compile(r"^(DETAIL|CONTEXT):.*?(?=\n\n|\Z)", re.MULTILINE | re.DOTALL)
_PRECISE = re.compile(r"-?\d{1,3}\.\d{4,}")
_METRES = re.compile(r"\b\d{5,7}(?:\.\d+)?\s*[, ]\s*\d{5,7}(?:\.\d+)?\b")
HIDDEN = "…"
_Info = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


def without_places(text: str) -> str:
    """The text without details of rows, numbers of four places or more, and pairs of metres on a grid."""
    return _METRES.sub(HIDDEN, _PRECISE.sub(HIDDEN, _DETAIL.sub(rf"\1: {HIDDEN}", text)))


class PlainLines(logging.Formatter):
    """One line for each message, whatever stands in it, and traces without places. Times are UTC (ISO 8601)."""

    converter = staticmethod(time.gmtime)
    default_time_format = "%Y-%m-%dT%H:%M:%S"
    default_msec_format = "%s.%03dZ"

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 (the name that logging calls)
        return without_places(super().formatMessage(record)).replace("\r", "\\r").replace("\n", "\\n")

    def formatException(self, ei: _Info) -> str:  # noqa: N802 (the name that logging calls)
        return without_places(super().formatException(ei))
