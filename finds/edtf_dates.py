"""EDTF dates (ISO 8601-2:2019; Library of Congress, levels 0 and 1, sets of level 2) and the years of the record.

EDTF counts years as astronomers do, with a year 0 that is 1 BC; the record counts as historians do, without one: EDTF
-0043 is 44 BC, which the record writes -44. Reading and writing here convert. The parser is the `edtf` library.
"""

import re
from calendar import monthrange
from dataclasses import dataclass
from functools import lru_cache

from edtf import parse_edtf
from edtf.parser.edtf_exceptions import EDTFParseException

from tongue import say as _

LONGEST = 60
DOUBT = frozenset("?~%")  # uncertain, approximate, both
DAY = re.compile(r"(\d{4})-(0[1-9]|1[0-2])-(\d\d)")
LOOKS = re.compile(r"[0-9XTYESZ:+\-./?~%\[\]{},]+", re.ASCII)


class EdtfError(ValueError):
    """What was typed is not a date in EDTF; the message names it and what to give instead."""


@dataclass(frozen=True, slots=True)
class EdtfYears:
    """The years an EDTF date covers, as historians write them; None where it is open or not known."""

    first: int | None
    last: int | None
    in_doubt: bool


def read_edtf(text: str) -> EdtfYears:
    """Return the years that `text` covers.

    An approximate or uncertain date keeps the years that it names and is marked as in doubt: how far "about" goes is
    not said by the standard, so nothing is added. Raises EdtfError.
    """
    plain = text.strip().upper()
    if len(plain) > LONGEST or not LOOKS.fullmatch(plain) or plain.count("/") > 1 or "XXXX" in plain:
        raise EdtfError(_not_edtf(text))
    start, slash, end = plain.partition("/")
    if not slash:
        first, last = _bounds(plain, text)
    elif start in {"", ".."} and end in {"", ".."}:
        raise EdtfError(_not_edtf(text))
    else:
        first = None if start in {"", ".."} else _bounds(start, text)[0]
        last = None if end in {"", ".."} else _bounds(end, text)[1]
    if first is not None and last is not None and last < first:
        raise EdtfError(_("“%(text)s” ends before it begins; give the earlier date first.") % {"text": text})
    return EdtfYears(_historian(first), _historian(last), is_in_doubt(plain))


def is_in_doubt(text: str) -> bool:
    """Does an EDTF date say that it is uncertain or approximate? Cheap: nothing is parsed."""
    return not DOUBT.isdisjoint(text)


def edtf_of(first: int | None, last: int | None, *, uncertain: bool = False) -> str:
    """The EDTF date of a range of historians' years, "" without any; an end that is not known stays empty.

    `uncertain` adds the question mark to each year of four digits; the library reads none after a longer one.
    """
    if first is None and last is None:
        return ""
    begin, end = (_year(year, uncertain) if year is not None else "" for year in (first, last))
    return begin if begin == end else f"{begin}/{end}"


def _year(year: int, uncertain: bool) -> str:
    """Four digits, signed where negative; years of more digits bear the letter Y."""
    astronomical = year + 1 if year < 0 else year
    if abs(astronomical) > 9999:
        return f"Y{astronomical}"
    return f"{'-' if astronomical < 0 else ''}{abs(astronomical):04d}{'?' if uncertain else ''}"


def _historian(astronomical: int | None) -> int | None:
    if astronomical is None or astronomical > 0:
        return astronomical
    return astronomical - 1


@lru_cache(maxsize=2048)  # lists and maps read the same few dates again and again
def _bounds(side: str, typed: str) -> tuple[int | None, int | None]:
    """Astronomical first and last year of one date or set."""
    try:
        date = parse_edtf(side)
        _check_day(side)
        low, high = date.lower_strict(), date.upper_strict()
    except (EDTFParseException, ValueError, TypeError, AttributeError, OverflowError) as error:
        raise EdtfError(_not_edtf(typed)) from error
    return _year_of(low), _year_of(high)


def _check_day(side: str) -> None:
    """The library takes 29 February in every year. Raises ValueError for a day that the calendar lacks."""
    for year, month, day in DAY.findall(side):
        if (
            int(day) > monthrange(int(year) % 400 + 400, int(month))[1]
        ):  # the calendar repeats every 400 years
            raise ValueError(side)


def _year_of(moment: object) -> int | None:
    """The library answers with infinity for an end that is open."""
    return None if isinstance(moment, float) else int(moment[0])  # type: ignore[index]


def _not_edtf(text: str) -> str:
    return _(
        "“%(text)s” is not a date in EDTF. Write 1275, 1275/1300, 13XX for the 1300s, 1275? for "
        "uncertain, 1275~ for about, -0043 for 44 BC; or leave this empty and give the years."
    ) % {"text": text}
