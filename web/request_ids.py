"""A number for each request, on every line that is logged for it and in its answer, to find one in the other."""

import re
import secrets
from contextvars import ContextVar

HEADER = "X-Request-ID"
GIVEN = re.compile(r"[A-Za-z0-9-]{8,64}")
request_id: ContextVar[str] = ContextVar("request_id", default="")


def new_id(given: str | None) -> str:
    """The proxy's own number where it gives one that is fit for a log, else a new one."""
    return given if given and GIVEN.fullmatch(given) else secrets.token_hex(8)
