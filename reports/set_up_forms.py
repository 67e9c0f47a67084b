"""The form that puts a step of setting up aside."""

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from web.forms import BaseForm


class NotNeededForm(BaseForm):
    why = forms.CharField(
        label=_lazy("Why the club does not need it"),
        max_length=200,
        help_text=_lazy("For whoever looks after the club next."),
    )
