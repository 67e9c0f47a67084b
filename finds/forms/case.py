"""Small forms that move cases, custody and groups."""

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.pairs import numbers_in
from web.forms import BaseForm, OnceForm


class MoveForm(BaseForm):
    to = forms.CharField(widget=forms.HiddenInput)
    words = forms.CharField(label=_lazy("Reasons"), widget=forms.Textarea(attrs={"rows": 3}))


class NoteForm(BaseForm):
    words = forms.CharField(label=_lazy("Note or message"), widget=forms.Textarea(attrs={"rows": 3}))


class WithdrawForm(BaseForm):
    why = forms.CharField(label=_lazy("Why this record should not exist"), max_length=200)


class GroupForm(OnceForm):
    numbers = forms.CharField(
        label=_lazy("Find numbers"), help_text=_lazy("At least two, separated by commas or spaces.")
    )
    reasons = forms.CharField(
        label=_lazy("Why these belong together"), widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean_numbers(self) -> list[str]:
        return numbers_in(self.cleaned_data["numbers"])
