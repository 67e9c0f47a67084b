"""Say that another find belongs with this one."""

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from web.forms import OnceForm


class LinkForm(OnceForm):
    number = forms.CharField(label=_lazy("Number of the other find"), max_length=20)
    note = forms.CharField(
        label=_lazy("How they belong together"),
        max_length=160,
        help_text=_lazy("Same hole, fits on the break, a pair of cuff links."),
    )
