"""Addresses with a key in them are secrets: what is logged of a request holds the path without its key."""

import logging
import re

_KEYED = re.compile(r"(/[lspc]/|/club/invited/|/set-up/begin/|/open/calendar/)[^/\s\"'?]+")
_PASSWORD = re.compile(r"(/password/new/)[^\s\"'?]+")  # an account and a token, which hold no colon
_SIGNED = re.compile(r"[\w-]{8,}:[\w-]{20,}(?::[\w-]{20,})?")
HIDDEN = "…"


def without_keys(text: str) -> str:
    """The text with the key in a private address, and anything that looks signed, left out."""
    return _SIGNED.sub(HIDDEN, _PASSWORD.sub(rf"\1{HIDDEN}", _KEYED.sub(rf"\1{HIDDEN}", text)))


class HideKeys(logging.Filter):
    """Write the message out without keys; traces and levels stay as they are."""

    def filter(self, record: logging.LogRecord) -> bool:
        words = record.getMessage()
        plain = without_keys(words)
        if plain != words:
            record.msg, record.args = plain, ()
        return True
