"""The question put to the gate."""

from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from permissions.forms.fields import DateField, TimeField
from web.forms import BaseForm


def question(asked: QueryDict, *, on: date) -> QueryDict | None:
    """The question as it was asked, with today where no day was named; None where nothing was asked."""
    if not asked:
        return None
    copy = asked.copy()
    copy["on"] = asked.get("on") or on.isoformat()
    return copy


class DayForm(BaseForm):
    """A day and a number of people."""

    on = DateField(label=_lazy("Day"), required=False)
    heads = forms.IntegerField(label=_lazy("People"), required=False, min_value=1, max_value=2000)
    q = forms.CharField(label=_lazy("Site, farm or code"), required=False, max_length=80)


class VisitForm(BaseForm):
    """A visit: the more is said, the more the gate can answer."""

    on = DateField(label=_lazy("Day"), required=False)
    heads = forms.IntegerField(label=_lazy("People"), required=False, min_value=1, max_value=2000)
    starts_at = TimeField(label=_lazy("From"), required=False)
    ends_at = TimeField(label=_lazy("To"), required=False)
    vehicles = forms.IntegerField(label=_lazy("Vehicles"), required=False, min_value=0, max_value=500)
    dogs = forms.BooleanField(label=_lazy("With dogs"), required=False)

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        start, end = self.cleaned_data.get("starts_at"), self.cleaned_data.get("ends_at")
        if start and end and end <= start:
            self.add_error(
                "ends_at",
                _("The visit ends at %(end)s, not after its start at %(start)s; give a later time.")
                % {"end": f"{end:%H:%M}", "start": f"{start:%H:%M}"},
            )
        return values
