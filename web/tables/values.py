"""One cell's text read as a date, a time, a number, a share or a choice: unambiguous, or refused with the readings."""

import re
from collections.abc import Iterable, Mapping
from datetime import date, time
from decimal import Decimal
from typing import TypeVar

from django.utils.dates import MONTHS
from django.utils.translation import gettext as _

from web.csv_safe import plain_text
from web.tables.errors import CellError

T = TypeVar("T")
DAY_FIRST, MONTH_FIRST = "day", "month"
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_FULL = ["january", "february", "march", "april", "may", "june"]
_FULL += ["july", "august", "september", "october", "november", "december"]
_DUTCH = ["januari", "februari", "maart", "april", "mei", "juni"]
_DUTCH += ["juli", "augustus", "september", "oktober", "november", "december"]
_MONTH = {name: number for names in (_MONTHS, _FULL, _DUTCH) for number, name in enumerate(names, 1)}
_MONTH |= {"sept": 9, "mrt": 3, "okt": 10}
_ISO = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:[T ].*)?")
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})")
_NUMBERS = re.compile(r"(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{2}|\d{4})")
_DAY_WORD = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ .\-/]*([a-z]+)[ .,\-/]*(\d{2}|\d{4})", re.I)
_WORD_DAY = re.compile(r"([a-z]+)[ .\-/]*(\d{1,2})(?:st|nd|rd|th)?[ .,\-/]+(\d{2}|\d{4})", re.I)
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?::\d{2})?\s*([ap])?\.?m?\.?", re.I)
_FIGURE = re.compile(r"([+\-\u2212]?)(\d[\d., '\u00a0\u202f]*|\.\d+|,\d+)\s*([a-zµ%\"]*)\.?", re.I)
_YES_NO = dict.fromkeys(("yes", "y", "x", "true", "1", "ja", "j"), True)
_YES_NO |= dict.fromkeys(("no", "n", "false", "0", "nee"), False)


def _date_help() -> str:
    return _("write it as 2025-04-03 or 3 April 2025")


def read_date(text: str, *, order: str = "") -> date:
    """A day. `order` ("day" or "month") says which comes first in 03/04/2025; without it both readings are named."""
    text = text.strip()
    if match := _ISO.fullmatch(text) or _COMPACT.fullmatch(text):
        return _day(int(match[1]), int(match[2]), int(match[3]), text)
    if match := _DAY_WORD.fullmatch(text):
        return _day(_year(match[3], text), _month(match[2], text), int(match[1]), text)
    if match := _WORD_DAY.fullmatch(text):
        return _day(_year(match[3], text), _month(match[1], text), int(match[2]), text)
    if match := _NUMBERS.fullmatch(text):
        return _two_readings(int(match[1]), int(match[2]), _year(match[3], text), text, order)
    raise CellError(_("“%(text)s” is not a date") % {"text": text}, _date_help())


def _two_readings(first: int, second: int, year: int, text: str, order: str) -> date:
    readings = {DAY_FIRST: _maybe(year, second, first), MONTH_FIRST: _maybe(year, first, second)}
    possible = {which: day for which, day in readings.items() if day}
    if not possible:
        raise CellError(_("“%(text)s” is not a date") % {"text": text}, _date_help())
    if len(set(possible.values())) == 1:
        return next(iter(possible.values()))
    if order in possible:
        return possible[order]
    words = _(" or ").join(f"{day.day} {MONTHS[day.month]} {day.year}" for day in possible.values())
    raise CellError(
        _("“%(text)s” could be %(words)s") % {"text": text, "words": words},
        _("say above which comes first, day or month, or write the month's name"),
    )


def _maybe(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _day(year: int, month: int, day: int, text: str) -> date:
    found = _maybe(year, month, day)
    if found is None:
        raise CellError(_("“%(text)s” is not a day of the calendar") % {"text": text}, _date_help())
    return found


def _year(digits: str, text: str) -> int:
    if len(digits) != 4:
        raise CellError(
            _("“%(text)s” has a year of two figures") % {"text": text}, _("write the year with four")
        )
    return int(digits)


def _month(word: str, text: str) -> int:
    if number := _MONTH.get(word.casefold()):
        return number
    raise CellError(
        _("“%(word)s” in “%(text)s” is not the name of a month") % {"word": word, "text": text},
        _date_help(),
    )


def read_time(text: str) -> time:
    """A time of day: 14:30, 14:30:00, 2:30 pm."""
    match = _TIME.fullmatch(text.strip())
    if match:
        hour, minute, half = int(match[1]), int(match[2]), (match[3] or "").lower()
        if half and 1 <= hour <= 12:
            hour = hour % 12 + (12 if half == "p" else 0)
        if hour < 24 and minute < 60:
            return time(hour, minute)
    raise CellError(_("“%(text)s” is not a time of day") % {"text": text}, _("write it as 14:30"))


def read_number(text: str, *, unit: str = "", places: int | None = None) -> Decimal:
    """A number with decimal point or comma, perhaps with its `unit`; another unit is refused, never converted."""
    match = _FIGURE.fullmatch(text.strip())
    if match is None:
        raise CellError(
            _("“%(text)s” is not a number") % {"text": text},
            _("give a figure in %(unit)s") % {"unit": unit} if unit else _("give a figure"),
        )
    sign, figures, named = match.groups()
    if named and named.casefold() not in _names_of(unit):
        raise CellError(
            _("“%(text)s” is in “%(named)s”") % {"text": text, "named": named},
            _("give the figure in %(unit)s") % {"unit": unit} if unit else _("give the figure alone"),
        )
    number = Decimal(_plain_figure(figures.strip(), text))
    if sign in {"-", "\u2212"}:
        number = -number
    exponent = number.as_tuple().exponent
    if places is not None and isinstance(exponent, int) and -exponent > places:
        raise CellError(
            _("“%(text)s” has more than %(places)s decimals") % {"text": text, "places": places},
            _("round it to %(places)s") % {"places": places},
        )
    return number


def _names_of(unit: str) -> set[str]:
    words = {"g": {"g", "gm", "gram", "grams", "gramme", "grammes"}, "%": {"%"}}
    return words.get(unit, {unit} if unit else set())


def _plain_figure(figures: str, text: str) -> str:
    """Figures with a point for the decimals and nothing for the thousands."""
    bare = re.sub(r"['\s\u00a0\u202f]", "", figures)
    dots, commas = bare.count("."), bare.count(",")
    if dots and commas:
        point = max(bare.rfind("."), bare.rfind(","))
        return _grouped(bare[:point], text) + "." + bare[point + 1 :]
    if dots > 1 or commas > 1:
        return _grouped(bare, text)
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", bare):
        said = {"text": text, "part": bare.replace(",", "."), "whole": bare.replace(",", "")}
        raise CellError(
            _("“%(text)s” could be %(part)s or %(whole)s") % said, _("write %(part)s or %(whole)s") % said
        )
    return bare.replace(",", ".")


def _grouped(figures: str, text: str) -> str:
    if not re.fullmatch(r"\d{1,3}(?:[.,]\d{3})*", figures):
        raise CellError(
            _("“%(text)s” is not a number") % {"text": text},
            _("write it without marks for the thousands, such as 1250.5"),
        )
    return re.sub(r"[.,]", "", figures)


def read_whole(text: str, *, unit: str = "", least: int | None = None) -> int:
    """A whole number of at least `least`."""
    number = read_number(text, unit=unit)
    if number != number.to_integral_value():
        raise CellError(_("“%(text)s” is not a whole number") % {"text": text}, _("round it"))
    if least is not None and number < least:
        said = {"text": text, "least": least}
        raise CellError(
            _("“%(text)s” is less than %(least)s") % said,
            _("give %(least)s or more, or leave the cell empty") % said,
        )
    return int(number)


def read_yes(text: str) -> bool:
    """Yes or no."""
    return read_choice(text, _YES_NO)


def read_choice(text: str, choices: Mapping[str, T]) -> T:
    """One of `choices`, whatever its case."""
    lower = " ".join(text.casefold().split())
    for name, value in choices.items():
        if name.casefold() == lower:
            return value
    raise CellError(
        _("“%(text)s” is not known here") % {"text": text},
        _("give one of: %(choices)s") % {"choices": ", ".join(dict.fromkeys(choices))},
    )


def read_list(text: str) -> list[str]:
    """Parts between semicolons, bars, plus signs or line ends; commas part words but not decimals."""
    return [
        part for each in re.split(r"[;|+\n]|,(?!\d)", text) if (part := " ".join(plain_text(each).split()))
    ]


def one_of(words: Iterable[str]) -> dict[str, str]:
    """Choices that stand for themselves."""
    return {word: word for word in words}


def proven_order(texts: Iterable[str]) -> str:
    """Which comes first, as far as the dates show it: 31/12/2026 can only be read one way. Nothing where none shows it
    or where they disagree."""
    orders: set[str] = set()
    for match in filter(None, (_NUMBERS.fullmatch(text.strip()) for text in texts)):
        first, second = int(match[1]), int(match[2])
        if first > 12 >= second:
            orders.add(DAY_FIRST)
        elif second > 12 >= first:
            orders.add(MONTH_FIRST)
    return orders.pop() if len(orders) == 1 else ""


def is_ambiguous_date(text: str) -> bool:
    """Does `text` mean two different days, until somebody says which comes first?"""
    match = _NUMBERS.fullmatch(text.strip())
    if match is None or len(match[3]) != 4:
        return False
    first, second, year = int(match[1]), int(match[2]), int(match[3])
    return len({_maybe(year, second, first), _maybe(year, first, second)} - {None}) == 2
