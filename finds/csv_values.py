"""One cell's text read as a date, a time, a number, a share or a choice: unambiguous, or refused with the readings."""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, time
from decimal import Decimal
from typing import TypeVar

from web.csv_safe import plain_text

T = TypeVar("T")
DAY_FIRST, MONTH_FIRST = "day", "month"
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_FULL = ["january", "february", "march", "april", "may", "june"]
_FULL += ["july", "august", "september", "october", "november", "december"]
_ISO = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})(?:[T ].*)?")
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})")
_NUMBERS = re.compile(r"(\d{1,2})[-./ ](\d{1,2})[-./ ](\d{2}|\d{4})")
_DAY_WORD = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ .\-/]*([a-z]+)[ .,\-/]*(\d{2}|\d{4})", re.I)
_WORD_DAY = re.compile(r"([a-z]+)[ .\-/]*(\d{1,2})(?:st|nd|rd|th)?[ .,\-/]+(\d{2}|\d{4})", re.I)
_TIME = re.compile(r"(\d{1,2})[:.h](\d{2})(?::\d{2})?\s*([ap])?\.?m?\.?", re.I)
_FIGURE = re.compile(r"([+\-\u2212]?)(\d[\d., '\u00a0\u202f]*|\.\d+|,\d+)\s*([a-zµ%\"]*)\.?", re.I)
_YEAR = re.compile(r"(?:(ad|bc|ce|bce)\s*)?([+\-\u2212]?\d{1,6})\s*(ad|bc|ce|bce)?", re.I)
_YES_NO = dict.fromkeys(("yes", "y", "x", "true", "1"), True) | dict.fromkeys(
    ("no", "n", "false", "0"), False
)
_PART = re.compile(r"([^()]*?)\s*(?:\(([^()]*)\))?\s*(?:([\d.,]+)\s*(%)?)?")
_DATE_HELP = "write it as 2025-04-03 or 3 April 2025"


class CellError(ValueError):
    """A cell that cannot be taken: what is wrong, and what to give instead."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what}; {remedy}.")


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
    raise CellError(f"“{text}” is not a date", _DATE_HELP)


def _two_readings(first: int, second: int, year: int, text: str, order: str) -> date:
    readings = {DAY_FIRST: _maybe(year, second, first), MONTH_FIRST: _maybe(year, first, second)}
    possible = {which: day for which, day in readings.items() if day}
    if not possible:
        raise CellError(f"“{text}” is not a date", _DATE_HELP)
    if len(set(possible.values())) == 1:
        return next(iter(possible.values()))
    if order in possible:
        return possible[order]
    words = " or ".join(
        f"{day.day} {_FULL[day.month - 1].capitalize()} {day.year}" for day in possible.values()
    )
    raise CellError(
        f"“{text}” could be {words}", "say above which comes first, day or month, or write the month's name"
    )


def _maybe(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _day(year: int, month: int, day: int, text: str) -> date:
    found = _maybe(year, month, day)
    if found is None:
        raise CellError(f"“{text}” is not a day of the calendar", _DATE_HELP)
    return found


def _year(digits: str, text: str) -> int:
    if len(digits) != 4:
        raise CellError(f"“{text}” has a year of two figures", "write the year with four")
    return int(digits)


def _month(word: str, text: str) -> int:
    lower = word.casefold()
    if lower in _FULL or lower == "sept" or (len(lower) == 3 and lower in _MONTHS):
        return _MONTHS.index(lower[:3]) + 1
    raise CellError(f"“{word}” in “{text}” is not a month's English name", _DATE_HELP)


def read_time(text: str) -> time:
    """A time of day: 14:30, 14:30:00, 2:30 pm."""
    match = _TIME.fullmatch(text.strip())
    if match:
        hour, minute, half = int(match[1]), int(match[2]), (match[3] or "").lower()
        if half and 1 <= hour <= 12:
            hour = hour % 12 + (12 if half == "p" else 0)
        if hour < 24 and minute < 60:
            return time(hour, minute)
    raise CellError(f"“{text}” is not a time of day", "write it as 14:30")


def read_number(text: str, *, unit: str = "", places: int | None = None) -> Decimal:
    """A number with decimal point or comma, perhaps with its `unit`; another unit is refused, never converted."""
    match = _FIGURE.fullmatch(text.strip())
    if match is None:
        raise CellError(f"“{text}” is not a number", f"give a figure{f' in {unit}' if unit else ''}")
    sign, figures, named = match.groups()
    if named and named.casefold() not in _names_of(unit):
        raise CellError(
            f"“{text}” is in “{named}”", f"give the figure in {unit}" if unit else "give the figure alone"
        )
    number = Decimal(_plain_figure(figures.strip(), text))
    if sign in {"-", "\u2212"}:
        number = -number
    exponent = number.as_tuple().exponent
    if places is not None and isinstance(exponent, int) and -exponent > places:
        raise CellError(f"“{text}” has more than {places} decimals", f"round it to {places}")
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
        whole = bare.replace(",", "")
        raise CellError(
            f"“{text}” could be {bare.replace(',', '.')} or {whole}",
            f"write {bare.replace(',', '.')} or {whole}",
        )
    return bare.replace(",", ".")


def _grouped(figures: str, text: str) -> str:
    if not re.fullmatch(r"\d{1,3}(?:[.,]\d{3})*", figures):
        raise CellError(
            f"“{text}” is not a number", "write it without marks for the thousands, such as 1250.5"
        )
    return re.sub(r"[.,]", "", figures)


def read_whole(text: str, *, unit: str = "", least: int | None = None) -> int:
    """A whole number of at least `least`."""
    number = read_number(text, unit=unit)
    if number != number.to_integral_value():
        raise CellError(f"“{text}” is not a whole number", "round it")
    if least is not None and number < least:
        raise CellError(f"“{text}” is less than {least}", f"give {least} or more, or leave the cell empty")
    return int(number)


def read_year(text: str) -> int:
    """A historian's year: 1205, AD 43, 50 BC, -50. There is no year 0."""
    match = _YEAR.fullmatch(text.strip())
    if match is None or (match[1] and match[3]):
        raise CellError(f"“{text}” is not a year", "write it as 1205, 50 BC or -50")
    year, era = int(match[2].replace("\u2212", "-")), (match[1] or match[3] or "").casefold()
    if era in {"bc", "bce"}:
        year = -abs(year)
    if year == 0:
        raise CellError("There is no year 0", "write 1 BC as -1 and AD 1 as 1")
    return year


def read_percent(text: str) -> Decimal:
    """A share in per cent, 0 to 100. A bare figure up to 1 is refused, because 0.05 may mean 5 % or 0.05 %."""
    share = read_number(text, unit="%", places=4)
    if "%" not in text and 0 < share <= 1:
        times = (share * 100).normalize()
        raise CellError(f"“{text}” could be {times:f} % or {share:f} %", f"write {times:f} % or {share:f} %")
    if not 0 <= share <= 100:
        raise CellError(f"“{text}” cannot be a share", "give a figure from 0 to 100")
    return share.quantize(Decimal("0.01"))


def read_yes(text: str) -> bool:
    """Yes or no."""
    return read_choice(text, _YES_NO)


def read_choice(text: str, choices: Mapping[str, T]) -> T:
    """One of `choices`, whatever its case."""
    lower = " ".join(text.casefold().split())
    for name, value in choices.items():
        if name.casefold() == lower:
            return value
    raise CellError(f"“{text}” is not known here", f"give one of: {', '.join(dict.fromkeys(choices))}")


def read_list(text: str) -> list[str]:
    """Parts between semicolons, bars, plus signs or line ends; commas part words but not decimals."""
    return [
        part for each in re.split(r"[;|+\n]|,(?!\d)", text) if (part := " ".join(plain_text(each).split()))
    ]


def read_shares(
    text: str, meaning: Callable[[str], tuple[str, str]]
) -> dict[tuple[str, str], Decimal | None]:
    """Materials, each perhaps with words in brackets and its share: “silver 92 %; copper alloy (gilded)”.

    `meaning` gives the listed name of a material, and words where it says more. Gives share, or None, by both.
    """
    found: dict[tuple[str, str], Decimal | None] = {}
    for part in read_list(text):
        match = _PART.fullmatch(part)
        named, inside, figure, sign = match.groups() if match else (part, "", None, None)
        name, words = meaning(named)
        key = (name, inside or words)
        if key in found:
            raise CellError(f"“{part}” is listed twice", "name each material once")
        found[key] = read_percent(f"{figure} {sign or ''}".strip()) if figure else None
    total = sum((share for share in found.values() if share is not None), Decimal(0))
    if total > 100:
        raise CellError(f"The shares add up to {total} %", "together they cannot pass 100 %")
    return found


def one_of(words: Iterable[str]) -> dict[str, str]:
    """Choices that stand for themselves."""
    return {word: word for word in words}
