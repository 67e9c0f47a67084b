"""Forms of the returns statement: which time, and what goes back now."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.models import Find
from finds.models.custody import OWN
from reports.build.returns import holder_of
from web.forms import BaseForm, OnceForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class TimeForm(BaseForm):
    since = forms.DateField(label=_lazy("Found from"), widget=DAY)
    until = forms.DateField(label=_lazy("until"), widget=DAY)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        since, until = values.get("since"), values.get("until")
        if since and until and until < since:
            self.add_error(
                "until",
                _("%(until)s is before %(since)s; give a later day.")
                % {"until": date_format(until, "j M Y"), "since": date_format(since, "j M Y")},
            )
        return values


def asked_time(data: Mapping[str, Any], today: date) -> dict[str, Any]:
    """What was asked, or the twelve months until today."""
    usual: dict[str, Any] = {"since": today - timedelta(365), "until": today}
    return {name: data.get(name, usual[name]) for name in usual}


def is_returnable(find: Find) -> bool:
    """Is it with its finder or the club, and free of a possible duty?"""
    last = holder_of(find)
    return not find.locked and last is not None and last.to_holder in OWN


class GoingForm(OnceForm):
    going = forms.MultipleChoiceField(
        label=_lazy("Goes back now"), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, finds: Sequence[Find], since: date, until: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["going"].choices = [  # type: ignore[attr-defined]
            (str(find.pk), f"{find}, {date_format(find.hunt.on, 'j M Y')}")
            for find in finds
            if is_returnable(find)
        ]
        self.fields["since"] = forms.DateField(widget=forms.HiddenInput, initial=since)
        self.fields["until"] = forms.DateField(widget=forms.HiddenInput, initial=until)
