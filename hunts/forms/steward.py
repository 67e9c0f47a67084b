"""Going back to a filled hole, and the weight of the scrap."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from web.forms import BaseForm, OnceForm


class RecheckForm(OnceForm):
    sound = forms.TypedChoiceField(
        label=_lazy("How is it now"),
        choices=[("yes", _lazy("Sound: level, grown in")), ("no", _lazy("Sunk or dead: it must be mended"))],
        coerce=lambda word: word == "yes",
        widget=forms.RadioSelect,
        initial="yes",
    )
    words = forms.CharField(label=_lazy("What you saw"), max_length=300, required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if values.get("sound") is False and not values.get("words", "").strip():
            self.add_error("words", _("Say what is wrong with it, so that it can be mended."))
        return values


class ScrapForm(BaseForm):
    scrap_kg = forms.DecimalField(
        label=_lazy("Scrap taken away (kg)"),
        required=False,
        min_value=0,
        max_value=9999,
        decimal_places=2,
        help_text=_lazy("Shown to the landholder in the visit report. Leave empty where it was not weighed."),
    )
