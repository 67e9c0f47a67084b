"""What a request asks of a collection, read from its address: each parameter is known and right, or named and refused.

Source: OGC 17-069r4, sections 7.15.2 to 7.15.5, /req/core/query-param-unknown and /req/core/query-param-invalid.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext as _

from doors.collections import Collection
from doors.feature import Box, Property, Query
from doors.moments import read_interval

LIMIT, MOST_LIMIT = 100, 1000
INT32, INT64 = 2**31 - 1, 2**63 - 1
FORMATS = ("json", "html")
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_WHOLE = re.compile(r"[+-]?\d{1,19}", re.ASCII)


class ParameterError(Exception):
    """A parameter of the address is unknown or wrong; the sentence names it, its value and the remedy."""


def check_known(asked: QueryDict, known: Mapping[str, Any]) -> None:
    """Every parameter is one of `known` and stands in the address once. Raises ParameterError."""
    for name, values in asked.lists():
        if name not in known:
            words = _("There is no parameter “%(name)s” here; there are %(known)s.")
            raise ParameterError(words % {"name": name[:60], "known": ", ".join(known)})
        if len(values) > 1:
            raise ParameterError(_("“%(name)s” stands in the address twice; give it once.") % {"name": name})


def read_format(asked: QueryDict) -> str:
    """`json`, `html`, or nothing where the request's own header decides. Raises ParameterError."""
    wanted = asked.get("f")
    if wanted is None or wanted in FORMATS:
        return wanted or ""
    raise _wrong("f", wanted, _("give json or html"))


def read_query(asked: QueryDict, collection: Collection) -> Query:
    """The question in the address. Raises ParameterError."""
    filters = {name: each for name, each in collection.properties.items() if each.lookup}
    readers: dict[str, Callable[[str, str], Any]] = {
        "limit": _limit,
        "bbox": _box,
        "datetime": _interval,
        "after": _row,
        "before": _row,
    }
    check_known(asked, {"f": None} | readers | filters)
    read_format(asked)
    found = {name: read(name, str(asked[name])) for name, read in readers.items() if name in asked}
    since, until = found.pop("datetime", (None, None))
    equals = {name: _value(name, str(asked[name]), each) for name, each in filters.items() if name in asked}
    return Query(**({"limit": LIMIT} | found), since=since, until=until, equals=equals)


def _wrong(name: str, value: str, remedy: str) -> ParameterError:
    words = _("“%(value)s” is not a value for %(name)s: %(remedy)s.")
    return ParameterError(words % {"value": value[:80], "name": name, "remedy": remedy})


def _whole(name: str, text: str, low: int, high: int) -> int:
    if not _WHOLE.fullmatch(text) or not low <= int(text) <= high:
        remedy = _("give a whole number from %(low)s to %(high)s") % {"low": low, "high": high}
        raise _wrong(name, text, remedy)
    return int(text)


def _limit(name: str, text: str) -> int:
    return _whole(name, text, 1, MOST_LIMIT)


def _row(name: str, text: str) -> int:
    return _whole(name, text, 0, INT64)


def _interval(name: str, text: str) -> Any:
    found = read_interval(text)
    if found is None:
        raise _wrong(
            name, text, _("give 2026-03-14T09:00:00Z, or an interval such as 2026-03-01T00:00:00Z/..")
        )
    since, until = found
    if since is not None and until is not None and until < since:
        raise _wrong(name, text, _("its end is before its beginning; give the earlier moment first"))
    return found


def _box(name: str, text: str) -> Box:
    """Four numbers, or six, of which the heights narrow nothing: the records are flat."""
    parts = text.split(",")
    if len(parts) not in {4, 6} or not all(_NUMBER.fullmatch(part) for part in parts):
        raise _wrong(name, text, _("give west, south, east, north in degrees, with commas between them"))
    numbers = [float(part) for part in parts]
    if len(numbers) == 6:
        if numbers[5] < numbers[2]:
            raise _wrong(name, text, _("give the lower height before the upper one"))
        del numbers[5], numbers[2]
    west, south, east, north = numbers
    if max(abs(west), abs(east)) > 180 or max(abs(south), abs(north)) > 90:
        raise _wrong(name, text, _("longitudes go from -180 to 180 and latitudes from -90 to 90"))
    if south > north:
        raise _wrong(name, text, _("south is greater than north; give the southern edge first"))
    return Box(west, south, east, north)


def _value(name: str, text: str, kind: Property) -> Any:
    """The value that a property is to have."""
    if kind.type == "integer":
        return _whole(name, text, -INT32, INT32)
    if kind.type == "boolean":
        if text not in {"true", "false"}:
            raise _wrong(name, text, _("give true or false"))
        return text == "true"
    if kind.choices and text not in kind.choices:
        raise _wrong(name, text, _("it is one of %(choices)s") % {"choices": ", ".join(kind.choices)})
    return _day(name, text) if kind.format == "date" else text


def _day(name: str, text: str) -> date:
    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
            raise ValueError(text)
        return date.fromisoformat(text)
    except ValueError as error:
        raise _wrong(name, text, _("give a day such as 2026-03-14")) from error
