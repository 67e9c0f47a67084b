"""What a phone sends, read with care: JSON of a known size, without what no database or clock can hold. Pure."""

import json
import math
from typing import Any, NoReturn

from django.utils.translation import gettext as _

from tongue import figure

MOST_BYTES = 2 * 1024 * 1024
"""Of one sending: fifty records, some of them tracks of 300 points, are about a third of it."""
DEEPEST = 12
LONGEST_TEXT = 10_000
MOST_DIGITS = 17
LARGEST = 1e15


class UnreadableError(ValueError):
    """JSON that is not taken: a sentence with what was wrong and what to do instead."""


class TooLargeError(UnreadableError):
    """More bytes than are read at once."""


def read_json(body: bytes, *, most: int = MOST_BYTES) -> Any:
    """The value that `body` holds. Half a surrogate pair, which a cut text may end in, becomes U+FFFD.

    Raises TooLargeError, or UnreadableError for what is not JSON (RFC 8259), NaN and infinity, which Python would
    read, U+0000, numbers of more than 17 digits, texts over 10,000 characters and more than 12 levels.
    """
    if len(body) > most:
        raise TooLargeError(
            _("%(body)s bytes are more than %(most)s; send fewer records at a time, each is kept on its own.")
            % {"body": figure(f"{len(body):,}"), "most": figure(f"{most:,}")}
        )
    try:
        value = json.loads(
            body.decode("utf-8"), parse_constant=_no_constant, parse_int=_whole, parse_float=_real
        )
    except UnicodeDecodeError as error:
        raise UnreadableError(
            _("Byte %(error_start)s is not UTF-8; send the JSON as UTF-8.") % {"error_start": error.start}
        ) from error
    except json.JSONDecodeError as error:
        raise UnreadableError(
            _("This is not JSON: %(error_msg)s at character %(error_pos)s. Send it again.")
            % {"error_msg": error.msg, "error_pos": error.pos}
        ) from error
    except RecursionError as error:
        raise UnreadableError(_too_deep()) from error
    return _checked(value)


def _no_constant(name: str) -> NoReturn:
    raise UnreadableError(
        _("%(name)s is no number that can be kept; leave the value empty (null).") % {"name": name}
    )


def _whole(digits: str) -> int:
    if len(digits.lstrip("-")) > MOST_DIGITS:
        raise UnreadableError(_too_big(digits))
    return int(digits)


def _real(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value) or abs(value) > LARGEST:
        raise UnreadableError(_too_big(digits))
    return value


def _too_big(digits: str) -> str:
    shown = digits if len(digits) <= 24 else f"{digits[:20]}…"
    return _("%(shown)s is too large a number to be kept; give at most %(most_digits)s digits.") % {
        "shown": shown,
        "most_digits": MOST_DIGITS,
    }


def _too_deep() -> str:
    return _("The JSON is nested deeper than %(deepest)s levels; a record needs five.") % {"deepest": DEEPEST}


def _checked(value: Any, level: int = 0) -> Any:
    """The same value with its texts cleaned."""
    if level > DEEPEST:
        raise UnreadableError(_too_deep())
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, list):
        return [_checked(each, level + 1) for each in value]
    if isinstance(value, dict):
        return {_text(name): _checked(each, level + 1) for name, each in value.items()}
    return value


def _text(value: str) -> str:
    if "\0" in value:
        raise UnreadableError(
            _("A text holds U+0000, a character that no text can hold; take it out and send again.")
        )
    if len(value) > LONGEST_TEXT:
        raise UnreadableError(
            _("A text of %(value)s characters is longer than %(longest_text)s; shorten it: “%(value2)s…”.")
            % {
                "value": figure(f"{len(value):,}"),
                "longest_text": figure(f"{LONGEST_TEXT:,}"),
                "value2": value[:30],
            }
        )
    return value.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
