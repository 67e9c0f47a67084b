"""How a day stands on pages: in the form the club has set.

What is kept, issued or sent names the month, and so does a sentence as it is made: a reason of the gate is kept with a
hunt and compared with what it was. A page that shows such a sentence puts its days into the club's form as it draws it.
"""

import re
from calendar import month_name as calendar_months
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import lru_cache

from django.utils import translation
from django.utils.dateformat import DateFormat
from django.utils.dateformat import format as date_format
from django.utils.dates import MONTHS, MONTHS_3

USUAL = "D j M Y"
FORMS = (USUAL, "j F Y", "d/m/Y", "d-m-Y", "d.m.Y", "Y-m-d")
"""Django's date formats; the last is ISO 8601's. None with the month first: elsewhere that reads as another day."""
ENGLISH = calendar_months[1:]
EXAMPLE = date(2026, 12, 26)  # no other day, however its figures are read

_form: ContextVar[str] = ContextVar("form_of_days", default=USUAL)


def write_days(form: str) -> None:
    """Write days in `form` from now on in this thread: each page sets it before it is drawn."""
    _form.set(form)


def form_of_days() -> str:
    return _form.get()


@contextmanager
def months_named() -> Iterator[None]:
    """Whatever the last page of this thread did, days inside are written with the name of their month: for letters."""
    before = _form.set(USUAL)
    try:
        yield
    finally:
        _form.reset(before)


def choices() -> list[tuple[str, str]]:
    """The forms that a club may choose from, each with the example day written so."""
    return [(form, date_format(EXAMPLE, form)) for form in FORMS]


def days_as_set(text: str) -> str:
    """`text` with each day that names its month, 22 November 2026, in the form that is set.

    The usual forms name the month themselves, and a sentence keeps it written out.
    """
    form = form_of_days()
    if "M" in form or "F" in form:
        return text
    pattern, months = _named_days(translation.get_language() or "")
    return pattern.sub(lambda found: _written(found, months, form), text)


def _written(found: re.Match[str], months: dict[str, int], form: str) -> str:
    try:
        day = date(int(found[3]), months[found[2].lower()], int(found[1]))
    except ValueError:  # 31 June: no day, so it stands as it was written
        return found[0]
    return date_format(day, form)


@lru_cache(maxsize=16)
def _named_days(language: str) -> tuple[re.Pattern[str], dict[str, int]]:
    """What a day looks like that names its month, in `language` and in English, which kept words may be in."""
    names = {english.lower(): number for number, english in enumerate(ENGLISH, 1)}
    names |= {str(name).lower(): number for number, name in MONTHS.items()}
    some = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    return re.compile(rf"\b(\d{{1,2}}) ({some}) (\d{{4}})\b", re.IGNORECASE), names


def short_month(form: DateFormat) -> str:
    """'Nov' in English, 'nov' in Dutch: the framework's own M gives months of every language a capital."""
    words = str(MONTHS_3[form.n()])
    return words.title() if (translation.get_language() or "en").startswith("en") else words
