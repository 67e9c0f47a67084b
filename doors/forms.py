"""What a new key is for, what it opens, and until when."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from doors.collections import COLLECTIONS
from doors.tokens import LONGEST_DAYS
from web.forms import OnceForm

LASTING = (7, 30, 90, LONGEST_DAYS)


class KeyForm(OnceForm):
    """A key for a map or table program."""

    label = forms.CharField(
        label=_lazy("What is it for?"), max_length=60, help_text=_lazy("For example: map program on my desk.")
    )
    collections = forms.MultipleChoiceField(
        label=_lazy("What may it read?"),
        widget=forms.CheckboxSelectMultiple,
        choices=[(each.id, each.title) for each in COLLECTIONS.values()],
        help_text=_lazy("Never more than you may see yourself on the day it is used."),
    )
    days = forms.TypedChoiceField(label=_lazy("How long does it last?"), coerce=int)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        days = self.fields["days"]
        assert isinstance(days, forms.ChoiceField)
        days.choices = [(n, ngettext("%(n)s day", "%(n)s days", n) % {"n": n}) for n in LASTING]
        days.initial = 90
        self.fields["collections"].error_messages["required"] = _(
            "Tick at least one; a key that reads nothing is no key."
        )
