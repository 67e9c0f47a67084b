"""The form in which somebody says that a backup was proved."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.forms import DateField
from web.forms import BaseForm


class ProofForm(BaseForm):
    """Two days, neither in the future, the backup not made after it was proved."""

    made_on = DateField(
        label=_lazy("The backup was made on"),
        help_text=_lazy("That day stands in the name of its file."),
    )
    proved_on = DateField(label=_lazy("It was proved on"))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._today = today

    def clean_proved_on(self) -> date:
        day: date = self.cleaned_data["proved_on"]
        if day > self._today:
            raise forms.ValidationError(
                _("%(day)s is still to come; give the day on which it was proved.")
                % {"day": date_format(day, "j M Y")}
            )
        return day

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        made, proved = values.get("made_on"), values.get("proved_on")
        if made and proved and made > proved:
            self.add_error(
                "made_on",
                _("%(made)s is after %(proved)s, when it was proved; a backup is made first.")
                % {"made": date_format(made, "j M Y"), "proved": date_format(proved, "j M Y")},
            )
        return values
