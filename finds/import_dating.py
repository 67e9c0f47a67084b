"""When the object of a row was made and identified: what cannot be is refused, what is odd is said."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.dates import range_words
from finds.edtf_dates import read_edtf
from finds.periods import scheme_for

EARLIEST = -5_000_000  # before the first tools: an earlier year is a slip
Wrong = Callable[[str, str], None]


def check_dating(fields: Mapping[str, Any], found_on: date, *, today: date, wrong: Wrong) -> None:
    """The same checks as the form's. `wrong(column, words)` hears what cannot be taken."""
    first, last = fields.get("year_from"), fields.get("year_to")
    if first is not None and last is not None and last < first:
        wrong(
            "year to",
            _("%(last)s is before %(first)s; give the earlier year first.") % {"last": last, "first": first},
        )
    for name, year in (("year from", first), ("year to", last)):
        if year is not None and year < EARLIEST:
            wrong(name, _("%(year)s is before anything was made; give years, BC as minus.") % {"year": year})
    if first is not None and first > found_on.year:
        wrong(
            "year from",
            _("%(first)s is after %(found_on)s, when it was found; give the years it was made.")
            % {"first": first, "found_on": date_format(found_on, "j M Y")},
        )
    _check_edtf(fields.get("edtf", ""), first, last, found_on, wrong)
    _check_identified(fields.get("identified_on"), found_on, today, wrong)


def _check_edtf(text: str, first: int | None, last: int | None, found_on: date, wrong: Wrong) -> None:
    if not text:
        return
    read = read_edtf(text)
    if (first, last) == (None, None):
        if read.first is not None and not EARLIEST <= read.first <= found_on.year:
            wrong(
                _("date in EDTF"),
                _("“%(text)s” is not before %(found_on)s, when it was found.")
                % {"text": text, "found_on": date_format(found_on, "j M Y")},
            )
    elif (first, last) != (read.first, read.last):
        said, meant = range_words(first, last), range_words(read.first, read.last)
        wrong(
            _("date in EDTF"),
            _("“%(text)s” means %(meant)s, and the years say %(said)s; make them agree or leave one empty.")
            % {"text": text, "meant": meant, "said": said},
        )


def _check_identified(day: date | None, found_on: date, today: date, wrong: Wrong) -> None:
    if day and day > today:
        wrong(
            "identified on",
            _("%(day)s has not come yet; give the day when it was identified.")
            % {"day": date_format(day, "j M Y")},
        )
    elif day and day < found_on:
        wrong(
            "identified on",
            _("%(day)s is before %(found_on)s, when it was found; give a later day.")
            % {"day": date_format(day, "j M Y"), "found_on": date_format(found_on, "j M Y")},
        )


def period_notes(fields: Mapping[str, Any]) -> list[str]:
    """What does not fit between the period's name and the years, by the list for this place."""
    first, last = fields.get("year_from"), fields.get("year_to")
    scheme = scheme_for(fields["site"].jurisdiction)
    period = scheme.period(fields.get("period", "")) if scheme else None
    if period is None or (first, last) == (None, None) or period.overlaps(first, last):
        return []
    years, span = range_words(first, last), range_words(period.first, period.last)
    return [
        _(
            "%(years)s lies outside %(period_label)s (%(span)s) in the list for this place; both are "
            "kept as they are."
        )
        % {"years": years, "period_label": period.label, "span": span}
    ]
