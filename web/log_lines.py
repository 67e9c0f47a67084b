"""Log lines that a program can read: one JSON object a line, without anything that names a person or a place.

`LOG_FORMAT=json` turns them on. Of an error they keep its kind and where it came from, not its message: a database
puts the row itself into its messages. A path is left out, for it may hold keys; the name of the view says as much.
"""

import json
import logging
import re
import traceback
from datetime import UTC, datetime
from typing import Any

from web.log_keys import HIDDEN
from web.request_ids import request_id

KEPT = ("request_id", "method", "view", "status", "ms", "account")
ADDRESSES = re.compile(r"[\w.+-]+@[\w-]+\.[\w.-]+")
PATHS = re.compile(r"(?<![\w.])/[^\s\"'?]*(\?\S*)?")
OF_REQUESTS = ("django.request", "django.server", "django.security")


class JsonLines(logging.Formatter):
    """The fields of KEPT where a record has them, and its words without e-mail addresses."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": words_of(record),
        }
        line |= {name: getattr(record, name) for name in KEPT if hasattr(record, name)}
        own = request_id.get() or getattr(getattr(record, "request", None), "request_id", "")
        if own and "request_id" not in line:
            line["request_id"] = own
        if record.exc_info and record.exc_info[1] is not None:
            line["error"] = error_of(record.exc_info[1])
        return json.dumps(line, ensure_ascii=False)


def words_of(record: logging.LogRecord) -> str:
    """What the record says, without e-mail addresses; of a request, without its path."""
    words = ADDRESSES.sub(HIDDEN, record.getMessage())
    return PATHS.sub(HIDDEN, words) if record.name.startswith(OF_REQUESTS) else words


def error_of(error: BaseException) -> dict[str, Any]:
    """The kind of an error and the way to it, its causes included, never its message."""
    cause = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
    way = [
        f"{frame.filename.rpartition('/')[2]}:{frame.lineno} {frame.name}"
        for frame in traceback.extract_tb(error.__traceback__)
    ]
    return {"kind": type(error).__qualname__, "way": way} | ({"cause": error_of(cause)} if cause else {})
