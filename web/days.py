"""How a day stands on pages: in the form the club has set. What is put into sentences always names the month."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date

from django.utils.dateformat import format as date_format

USUAL = "D j M Y"
FORMS = (USUAL, "j F Y", "d/m/Y", "d-m-Y", "d.m.Y", "Y-m-d")
"""Django's date formats; the last is ISO 8601's. None with the month first: elsewhere that reads as another day."""
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
