"""A reason, asked only once an answer that had stopped everything is taken back."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy


class TakenBackMixin(forms.Form):
    """Hidden until the action refuses; `ask_why` then shows it with what the action said."""

    taken_back_why = forms.CharField(
        label=_lazy("Why is it taken back?"),
        max_length=300,
        required=False,
        widget=forms.HiddenInput,
        help_text=_lazy(
            "For example: the police came and said what it was; or it was ticked on the wrong record."
        ),
    )

    def ask_why(self, error: Exception) -> None:
        """Show the question, with the reason why it is asked."""
        field: Any = self.fields["taken_back_why"]
        field.widget = forms.TextInput()
        self.add_error("taken_back_why", str(error))
