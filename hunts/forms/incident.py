"""Record an incident."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.timezone import localdate, localtime

from geo.position import Country
from hunts.models import Hunt, Incident
from web.forms import BaseForm, OnceModelForm
from web.position_form import PositionFormMixin


class IncidentForm(PositionFormMixin, OnceModelForm):
    """Bound to one hunt; the place may be left open."""

    field_order = ["kind", "happened_at", "words", "told", "position_text", "typed_accuracy_m"]

    class Meta:
        model = Incident
        fields = ["kind", "happened_at", "words", "told"]
        widgets = {
            "happened_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            "words": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, hunt: Hunt, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.at = hunt, at
        self.columns: dict[str, Any] = {}
        self.fields["happened_at"].initial = localtime(at).strftime("%Y-%m-%dT%H:%M")
        self.fields["position_text"].label = "Where (leave empty if it has no one place)"

    def clean_happened_at(self) -> datetime:
        when: datetime = self.cleaned_data["happened_at"]
        if when > self.at:
            raise forms.ValidationError(
                f"{localtime(when):%-d %b %Y, %H:%M} has not come yet; give the time when it happened."
            )
        if localdate(when) < self.hunt.on:
            raise forms.ValidationError(
                f"{localtime(when):%-d %b %Y} is before the day of {self.hunt.code} ({self.hunt.on:%-d %b %Y}); "
                "give that day or later."
            )
        return when

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields} | self.columns

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        site = self.hunt.sites.first()
        self.columns = self.position_columns(site.country if site else Country.OTHER)
        return values


class LiftForm(BaseForm):
    words = forms.CharField(
        label="Why the hunt may go on",
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Who said so, and what is kept clear. Do not write the place here.",
        error_messages={"required": "Say why the hunt may go on: who said so, and what is kept clear."},
    )


class CloseIncidentForm(BaseForm):
    words = forms.CharField(
        label="How it ended",
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Who came, what they decided, and whether the place is safe. Do not write the place here.",
        error_messages={
            "required": "Say how it ended: who came, what they decided, and whether the place is safe."
        },
    )


class FreeForm(BaseForm):
    words = forms.CharField(
        label="Why the place may be shown again",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why the place may be shown again."},
    )
