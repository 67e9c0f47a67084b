"""Small forms that move cases, custody and groups."""

from datetime import date
from typing import Any

from django import forms

from finds.forms.pairs import numbers_in
from finds.models.case import Decision
from web.forms import BaseForm, OnceForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class MoveForm(BaseForm):
    to = forms.CharField(widget=forms.HiddenInput)
    words = forms.CharField(label="Reasons", widget=forms.Textarea(attrs={"rows": 3}))


class NoteForm(BaseForm):
    words = forms.CharField(label="Note or message", widget=forms.Textarea(attrs={"rows": 3}))


class ReportedForm(BaseForm):
    on = forms.DateField(label="Reported on", widget=DAY)
    reference = forms.CharField(label="Their reference, if they gave one", required=False, max_length=80)
    words = forms.CharField(label="To whom and how", max_length=300)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].initial = today

    def clean_on(self) -> date:
        day: date = self.cleaned_data["on"]
        if day > self.today:
            raise forms.ValidationError(
                f"{day:%-d %b %Y} has not come yet; give the day when the report was made."
            )
        return day


class DecideForm(BaseForm):
    decision = forms.ChoiceField(label="Outcome", choices=Decision.choices)
    words = forms.CharField(label="Their words, and the date", widget=forms.Textarea(attrs={"rows": 3}))


class WithdrawForm(BaseForm):
    why = forms.CharField(label="Why this record should not exist", max_length=200)


class GroupForm(OnceForm):
    numbers = forms.CharField(label="Find numbers", help_text="At least two, separated by commas or spaces.")
    reasons = forms.CharField(label="Why these belong together", widget=forms.Textarea(attrs={"rows": 3}))

    def clean_numbers(self) -> list[str]:
        return numbers_in(self.cleaned_data["numbers"])
