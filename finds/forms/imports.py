"""The file with a table of finds, and how it is to be read."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from web.forms import BaseForm, OnceForm
from web.tables.text import ENCODINGS
from web.tables.values import DAY_FIRST, MONTH_FIRST

ORDERS = [
    ("", _lazy("I write the month's name, or the year first")),
    (DAY_FIRST, _lazy("3 April: the day comes first")),
    (MONTH_FIRST, _lazy("4 March: the month comes first")),
]


class TableFileForm(OnceForm):
    """A CSV file, and what its dates mean."""

    file = forms.FileField(
        label=_lazy("File"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv"}),
        help_text=_lazy(
            "CSV with commas, semicolons or tabs, up to 10 MB and three thousand rows; "
            "a longer list goes in several files."
        ),
        error_messages={"empty": _lazy("The file is empty; export it again.")},
    )
    day_order = forms.ChoiceField(
        label=_lazy("In your file 03/04/2025 means"), choices=ORDERS, required=False
    )


class ReadAgainForm(BaseForm):
    """Another encoding, or another meaning of dates."""

    encoding = forms.ChoiceField(label=_lazy("Letters are in"), choices=list(ENCODINGS.items()))
    day_order = forms.ChoiceField(label=_lazy("03/04/2025 means"), choices=ORDERS, required=False)


class SealForm(BaseForm):
    """Save what was looked at."""

    seal: Any = forms.CharField(max_length=64, widget=forms.HiddenInput)
