"""Forms of storage boxes: a box, a look at its card, and what goes into it."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.custody import DAY
from finds.forms.pairs import numbers_in
from finds.models import Box, BoxReading
from web.forms import BaseForm, OnceModelForm


class BoxForm(OnceModelForm):
    class Meta:
        model = Box
        fields = ("name", "kept_at", "kind", "has_gel", "retired_on")
        widgets = {"retired_on": DAY}
        labels = {"retired_on": _lazy("Out of use since")}


class BoxReadingForm(OnceModelForm):
    class Meta:
        model = BoxReading
        fields = ("on", "humidity_percent", "gel_changed", "notes")
        widgets = {"on": DAY}

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].initial = today

    def clean_on(self) -> date:
        day: date = self.cleaned_data["on"]
        if day > self.today:
            raise forms.ValidationError(
                _("%(day)s has not come yet; give the day when it was read.")
                % {"day": date_format(day, "j M Y")}
            )
        return day

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        if values.get("humidity_percent") is None and not values.get("gel_changed"):
            self.add_error(
                "humidity_percent", _("Give what the card says (0 to 100), or tick that the gel was dried.")
            )
        return values


class IntoBoxForm(BaseForm):
    numbers = forms.CharField(
        label=_lazy("Find numbers"), help_text=_lazy("Separated by commas or spaces."), max_length=4000
    )

    def clean_numbers(self) -> list[str]:
        return numbers_in(self.cleaned_data["numbers"])
