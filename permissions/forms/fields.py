"""Fields and checks that several forms about land share."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from people.laws import places


class DateField(forms.DateField):
    """A day, with the browser's own picker where it has one."""

    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class TimeField(forms.TimeField):
    """A time of day, with the browser's own picker where it has one."""

    widget = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class InOrderMixin(forms.Form):
    """The last day is not before the first; the message names both."""

    first_last: tuple[str, str] = ("starts", "ends")

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        first, last = (self.cleaned_data.get(name) for name in self.first_last)
        if isinstance(first, date) and isinstance(last, date) and last < first:
            self.add_error(
                self.first_last[1],
                _("The last day (%(last)s) is before the first day (%(first)s); give a later one.")
                % {"last": date_format(last, "j M Y"), "first": date_format(first, "j M Y")},
            )
        return values


def jurisdictions() -> list[tuple[str, str]]:
    """Places whose law is known here, and one for all others: the gate asks there."""
    return places()
