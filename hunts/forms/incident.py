"""Record an incident."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

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
        self.fields["position_text"].label = _("Where (leave empty if it has no one place)")

    def clean_happened_at(self) -> datetime:
        when: datetime = self.cleaned_data["happened_at"]
        if when > self.at:
            raise forms.ValidationError(
                _("%(when)s has not come yet; give the time when it happened.")
                % {"when": date_format(localtime(when), "j M Y, H:i")}
            )
        if localdate(when) < self.hunt.on:
            raise forms.ValidationError(
                _("%(when)s is before the day of %(hunt_code)s (%(hunt_on)s); give that day or later.")
                % {
                    "when": date_format(localtime(when), "j M Y"),
                    "hunt_code": self.hunt.code,
                    "hunt_on": date_format(self.hunt.on, "j M Y"),
                }
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
        label=_lazy("Why the hunt may go on"),
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_lazy("Who said so, and what is kept clear. Do not write the place here."),
        error_messages={
            "required": _lazy("Say why the hunt may go on: who said so, and what is kept clear.")
        },
    )


class CloseIncidentForm(BaseForm):
    words = forms.CharField(
        label=_lazy("How it ended"),
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_lazy(
            "Who came, what they decided, and whether the place is safe. Do not write the place here."
        ),
        error_messages={
            "required": _lazy("Say how it ended: who came, what they decided, and whether the place is safe.")
        },
    )


class FreeForm(BaseForm):
    words = forms.CharField(
        label=_lazy("Why the place may be shown again"),
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": _lazy("Say why the place may be shown again.")},
    )
