"""Forms of the landholder's page and the club's answers."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from web.forms import BaseForm, OnceForm


class ConfirmForm(OnceForm):
    received = forms.ChoiceField(
        label=_lazy("Were the objects listed as returned received?"),
        choices=[
            ("confirmed", _lazy("Yes, all of them")),
            ("disputed", _lazy("No, something is missing or not right")),
        ],
        widget=forms.RadioSelect,
    )
    words = forms.CharField(
        label=_lazy("What is missing or not right"),
        widget=forms.Textarea(attrs={"rows": 3}),
        required=False,
        max_length=2000,
    )
    missing = forms.MultipleChoiceField(
        label=_lazy("Tick what you did not receive, if you know"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    signed_name = forms.CharField(label=_lazy("Your name, as your signature"), max_length=160)

    def __init__(self, *args: Any, objects: Sequence[tuple[str, str]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["missing"].choices = objects  # type: ignore[attr-defined]
        if not objects:
            self.fields["missing"].widget = forms.MultipleHiddenInput()

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if values.get("received") == "confirmed" and values.get("missing"):
            self.add_error(
                "received", _("You ticked something as missing; then answer No here, or take the tick away.")
            )
        return values

    def clean_words(self) -> str:
        words: str = self.cleaned_data["words"]
        if self.cleaned_data.get("received") == "disputed" and not words.strip():
            raise forms.ValidationError(
                _("Please say what is missing or not right, so that we can put it right.")
            )
        return words


class ConcernForm(OnceForm):
    words = forms.CharField(
        label=_lazy("What is wrong?"), widget=forms.Textarea(attrs={"rows": 4}), max_length=2000
    )
    signed_name = forms.CharField(label=_lazy("Your name"), max_length=160, required=False)


class QuestionForm(OnceForm):
    words = forms.CharField(
        label=_lazy("What would you like to know?"), widget=forms.Textarea(attrs={"rows": 3}), max_length=2000
    )
    signed_name = forms.CharField(label=_lazy("Your name"), max_length=160, required=False)


class InviteForm(OnceForm):
    words = forms.CharField(
        label=_lazy("Which field, and when would it suit?"),
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=1000,
        help_text=_lazy("For example: Ten Acre, from the middle of August, when the barley is off."),
    )
    signed_name = forms.CharField(label=_lazy("Your name"), max_length=160, required=False)


class CodeForm(OnceForm):
    """The code out of the e-mail, and the page that it is to open."""

    code = forms.CharField(
        label=_lazy("Code from the e-mail"),
        max_length=20,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "one-time-code"}),
    )


class PauseForm(OnceForm):
    words = forms.CharField(label=_lazy("Why, and until when if you know"), max_length=280)


class SettleForm(BaseForm):
    words = forms.CharField(
        label=_lazy("Our answer, or what was done"), widget=forms.Textarea(attrs={"rows": 3})
    )
