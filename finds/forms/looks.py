"""Forms of the page of looks at locked findspots."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from finds.models import FindspotView
from web.forms import BaseForm


class ReaderForm(BaseForm):
    """Whose looks; empty leaves all in."""

    reader = forms.TypedChoiceField(label=_lazy("Who"), required=False, coerce=int, empty_value=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        seen = FindspotView.objects.exclude(by=None).order_by("by__name", "by")
        field = self.fields["reader"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", "Everybody"), *seen.values_list("by", "by__name").distinct()]


class AnswerForm(BaseForm):
    """What unusual reading was for."""

    words = forms.CharField(
        label=_lazy("What it was"), widget=forms.Textarea(attrs={"rows": 2}), max_length=2000, strip=True
    )
