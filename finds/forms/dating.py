"""The part of the find form that says when the object was made, and when that was found out."""

from collections.abc import Iterable
from datetime import date

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.dates import range_words
from finds.edtf_dates import EdtfError, EdtfYears, read_edtf
from finds.forms.ask import ask, ask_field
from finds.forms.terms import TermInput
from finds.models.choices import YearsSource
from finds.periods import scheme_for

EARLIEST = -5_000_000  # before the first tools; an earlier year is a slip, and no database column is troubled
KEEP_BOTH, KEEP_PERIOD, KEEP_YEARS = "both", "period", "years"


class DatingMixin(forms.ModelForm):  # type: ignore[type-arg]
    """Mixin for a find's form. Call `show_dating()` at the start and `check_dating()` from clean()."""

    period_choice = ask_field(_lazy("The years and the period"))

    def show_dating(self, jurisdictions: Iterable[str]) -> None:
        """Offer the periods of these places. Years that were filled in are not shown as if somebody had typed them."""
        schemes = [scheme for code in jurisdictions if (scheme := scheme_for(code))]
        terms = {p.label: range_words(p.first, p.last) for scheme in schemes for p in scheme.periods}
        period, years = self.fields["period"], self.fields["year_from"]
        period.widget = TermInput(terms.items(), {"maxlength": 60})
        period.help_text = (
            _("A name of the list, or any other word.") if terms else _("In words; give the years too.")
        )
        if terms:
            years.help_text = _("Leave the years empty if you know no more than the period.")
        self.fields["edtf"].help_text = _(
            "1275, 1275/1300, 13XX for the 1300s, 1275~ for about, -0043 for 44 BC."
        )
        self.fields["edtf"].widget.attrs["autocomplete"] = "off"
        if self.instance.years_source in {YearsSource.PERIOD, YearsSource.EDTF}:
            filled_in = range_words(self.instance.year_from, self.instance.year_to)
            years.help_text = _("Now %(filled_in)s, from %(years_source)s.") % {
                "filled_in": filled_in,
                "years_source": self.instance.get_years_source_display(),
            }
            self.initial = {**self.initial, "year_from": None, "year_to": None}

    def check_dating(self, jurisdiction: str, found_on: date | None, *, today: date) -> None:
        first, last = self.cleaned_data.get("year_from"), self.cleaned_data.get("year_to")
        self._check_years(first, last, found_on)
        read = self._read_edtf(first, last)
        if first is None and last is None and read:
            first, last = read.first, read.last
            self._check_years_against_find("edtf", first, found_on)
        self._check_period(jurisdiction, first, last)
        self._check_identified(found_on, today)

    def _check_years(self, first: int | None, last: int | None, found_on: date | None) -> None:
        for name, year in (("year_from", first), ("year_to", last)):
            if year == 0:
                self.add_error(name, _("There is no year 0: write 1 BC as -1 and AD 1 as 1."))
            if year is not None and year < EARLIEST:
                self.add_error(
                    name, _("%(year)s is before anything was made; give years, BC as minus.") % {"year": year}
                )
        if first is not None and last is not None and last < first:
            self.add_error(
                "year_to",
                _("%(last)s is before %(first)s; give the earlier year first.")
                % {"last": last, "first": first},
            )
        self._check_years_against_find("year_from", first, found_on)

    def _check_years_against_find(self, name: str, first: int | None, found_on: date | None) -> None:
        if first is not None and found_on and first > found_on.year:
            self.add_error(
                name,
                _("%(first)s is after %(found_on)s, when it was found; give the years when it was made.")
                % {"first": first, "found_on": date_format(found_on, "j M Y")},
            )

    def _read_edtf(self, first: int | None, last: int | None) -> EdtfYears | None:
        text = self.cleaned_data.get("edtf")
        if not text:
            return None
        try:
            read = read_edtf(text)
        except EdtfError as error:
            self.add_error("edtf", str(error))
            return None
        if read.first is not None and read.first < EARLIEST:
            self.add_error(
                "edtf", _("“%(text)s” is before anything was made; give years, BC as minus.") % {"text": text}
            )
        elif (first, last) != (None, None) and (first, last) != (read.first, read.last):
            theirs, mine = range_words(first, last), range_words(read.first, read.last)
            self.add_error(
                "edtf",
                _(
                    "“%(text)s” means %(mine)s, and the years say %(theirs)s; make them agree or leave "
                    "one empty."
                )
                % {"text": text, "mine": mine, "theirs": theirs},
            )
        return read

    def _check_period(self, jurisdiction: str, first: int | None, last: int | None) -> None:
        """Years beside the period are asked about once, never refused."""
        scheme, choice = scheme_for(jurisdiction), self.cleaned_data.get("period_choice")
        period = scheme.period(self.cleaned_data.get("period") or "") if scheme else None
        if (
            period is None
            or period.overlaps(first, last)
            or "year_from" in self.errors
            or "edtf" in self.errors
        ):
            return
        if choice == KEEP_YEARS:
            self.cleaned_data["period"] = ""
        elif choice == KEEP_PERIOD:
            self.cleaned_data |= {"year_from": None, "year_to": None, "edtf": ""}
        elif choice != KEEP_BOTH:
            years, span = range_words(first, last), range_words(period.first, period.last)
            ask(
                self,
                "period_choice",
                _(
                    "%(years)s lies outside %(period_label)s (%(span)s) in the list for this place. "
                    "Which shall be kept?"
                )
                % {"years": years, "period_label": period.label, "span": span},
                [
                    (KEEP_BOTH, _("Both as they are")),
                    (KEEP_YEARS, _("The years, %(years)s") % {"years": years}),
                    (KEEP_PERIOD, _("The period, %(span)s") % {"span": span}),
                ],
            )

    def _check_identified(self, found_on: date | None, today: date) -> None:
        day = self.cleaned_data.get("identified_on")
        if day and day > today:
            self.add_error(
                "identified_on",
                _("%(day)s has not come yet; give the day when it was identified.")
                % {"day": date_format(day, "j M Y")},
            )
        elif day and found_on and day < found_on:
            self.add_error(
                "identified_on",
                _("%(day)s is before %(found_on)s, when it was found; give that day or a later one.")
                % {"day": date_format(day, "j M Y"), "found_on": date_format(found_on, "j M Y")},
            )
