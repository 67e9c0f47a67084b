"""Going out alone, and staying longer."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import LoneHunt
from people.models import User
from permissions.models import Site
from permissions.models.site import Said
from web.forms import BaseForm, OnceModelForm

WHEN = {"type": "datetime-local"}
FORMAT = "%Y-%m-%dT%H:%M"


class LoneHuntForm(OnceModelForm):
    class Meta:
        model = LoneHunt
        fields = [
            "site", "where", "out_at", "due_back", "tide", "contact_name", "contact_phone", "contact_email",
            "gate_asked",
        ]  # fmt: skip
        widgets = {
            "out_at": forms.DateTimeInput(attrs=WHEN, format=FORMAT),
            "due_back": forms.DateTimeInput(attrs=WHEN, format=FORMAT),
            "contact_phone": forms.TextInput(attrs={"type": "tel"}),
        }
        help_texts = {
            "site": _lazy(
                "One of the club's sites; its gate is asked. Leave empty for other ground where you have leave."
            ),
            "where": _lazy("So that people find you: lane, gate, car park. Never a findspot."),
            "contact_email": _lazy(
                "Told 30 minutes after you should be back. Without it the club's leaders are told then."
            ),
            "tide": _lazy("Needed on the shore."),
        }

    def __init__(self, *args: Any, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.at = at
        field: Any = self.fields["site"]
        field.queryset, field.empty_label = (
            Site.objects.visible_to(by).current(),
            _("None of the club's sites"),
        )
        self.fields["out_at"].initial = localtime(at).strftime(FORMAT)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        out, due, site = values.get("out_at"), values.get("due_back"), values.get("site")
        if out and due and due <= out:
            self.add_error(
                "due_back",
                _("%(due)s is not after %(out)s when you go out; give a later time.")
                % {
                    "due": date_format(localtime(due), "j M Y, H:i"),
                    "out": date_format(localtime(out), "H:i"),
                },
            )
        if site is not None and site.tidal == Said.YES and not values.get("tide", "").strip():
            self.add_error(
                "tide", _("%(site)s is tidal; give the times of high and low water.") % {"site": site}
            )
        return values

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class DueBackForm(BaseForm):
    due_back = forms.DateTimeField(
        label=_lazy("Due back now at"), widget=forms.DateTimeInput(attrs=WHEN, format=FORMAT)
    )
