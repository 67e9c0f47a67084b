"""Record an incident."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.position import Country
from hunts.actions import PreparedIncidentPhoto
from hunts.forms.waiting_photos import WaitingPhotosMixin
from hunts.models import Hunt, Incident
from people.models import User
from web.forms import BaseForm, OnceModelForm
from web.photo_field import PhotosField
from web.position_form import PositionFormMixin

SAFE = _lazy(
    "Only from where it is safe: nobody goes nearer for a picture. Leave out the faces of people hurt."
)


class IncidentForm(WaitingPhotosMixin, PositionFormMixin, OnceModelForm):
    """Bound to one hunt; the place may be left open."""

    photos = PhotosField(label=_lazy("Photographs"), required=False, help_text=SAFE)
    field_order = [
        "kind",
        "happened_at",
        "words",
        "told",
        "photos",
        "drop_photos",
        "position_text",
        "typed_accuracy_m",
    ]

    class Meta:
        model = Incident
        fields = ["kind", "happened_at", "words", "told"]
        widgets = {
            "happened_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            "words": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, hunt: Hunt, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.at = hunt, at
        self.columns: dict[str, Any] = {}
        self.fields["happened_at"].initial = localtime(at).strftime("%Y-%m-%dT%H:%M")
        self.fields["position_text"].label = _("Where (leave empty if it has no one place)")
        self.show_waiting(by, at)

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

    def asked(self) -> dict[str, Any]:
        """What the action takes beside the columns: the key, and photographs that waited and that came now."""
        photos = [PreparedIncidentPhoto(taken) for _slot, taken in self.photos_to_keep()]
        return {"client_id": self.cleaned_data["client_id"], "photos": photos}

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        site = self.hunt.sites.first()
        self.columns = self.position_columns(site.country if site else Country.OTHER)
        return values


class IncidentPhotosForm(BaseForm):
    photos = PhotosField(label=_lazy("Photographs"), help_text=SAFE)
    caption = forms.CharField(label=_lazy("Caption"), max_length=160, required=False)

    def prepared(self) -> list[PreparedIncidentPhoto]:
        return [
            PreparedIncidentPhoto(taken, self.cleaned_data["caption"])
            for taken in self.cleaned_data["photos"]
        ]


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
