"""Small forms about pairs that may be one find, and about same-find groups."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from web.forms import BaseForm

AREA = {"rows": 3}


def numbers_in(text: str) -> list[str]:
    """The find numbers in what was typed, with commas or spaces between, each once."""
    return sorted({part.upper() for part in text.replace(",", " ").split()})


class PairForm(BaseForm):
    """A decision about a pair with its reasons. `seen` is what was known of the two when the page was read."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    words = forms.CharField(label=_lazy("Reasons"), widget=forms.Textarea(attrs=AREA), max_length=2000)

    def __init__(self, *args: object, label: Any = "", **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = label or self.fields["words"].label


class AnswerForm(BaseForm):
    words = forms.CharField(
        label=_lazy("Your answer"),
        widget=forms.Textarea(attrs={"rows": 5}),
        max_length=2000,
        help_text=_lazy("How far apart, how deep, in which order, what lay between: whatever you remember."),
    )


class TogetherForm(BaseForm):
    number = forms.CharField(label=_lazy("Number of your other find"), max_length=20)
    words = forms.CharField(
        label=_lazy("Why you think they belong together"), widget=forms.Textarea(attrs=AREA), max_length=2000
    )

    def clean_number(self) -> str:
        number: str = self.cleaned_data["number"]
        return number.strip().upper()


class GroupAddForm(BaseForm):
    numbers = forms.CharField(
        label=_lazy("Find numbers"), help_text=_lazy("One or more, separated by commas or spaces.")
    )
    words = forms.CharField(
        label=_lazy("Why they belong here"), widget=forms.Textarea(attrs=AREA), max_length=2000
    )

    def clean_numbers(self) -> list[str]:
        return numbers_in(self.cleaned_data["numbers"])


class TakeOutForm(BaseForm):
    words = forms.CharField(
        label=_lazy("Why it does not belong to the others"),
        widget=forms.Textarea(attrs=AREA),
        max_length=2000,
    )
