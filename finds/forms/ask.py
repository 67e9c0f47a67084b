"""A question that a form asks only once it is needed: a hidden field that turns into a choice."""

from typing import Any

from django import forms


def ask_field(label: Any) -> forms.CharField:
    """Hidden and empty until `ask` is called; `cleaned_data` then holds the choice."""
    return forms.CharField(label=label, required=False, max_length=40, widget=forms.HiddenInput)


def ask(form: forms.BaseForm, name: str, question: str, choices: list[tuple[str, str]]) -> None:
    """Show the field `name` as a choice, with `question` as what stands in the way."""
    field: Any = form.fields[name]
    field.required = True
    field.widget = forms.RadioSelect(choices=choices)
    form.add_error(name, question)
