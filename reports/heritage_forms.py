"""Forms about heritage reports: that one was sent, and that the authority has it."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import Contact
from reports.models import IssuedReport
from reports.models.sent import Way, What
from web.forms import OnceForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MINUTE = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


class SendingForm(OnceForm):
    sent_at = forms.DateTimeField(label=_lazy("When it was sent"), widget=MINUTE)
    contact = forms.ChoiceField(label=_lazy("To whom"), required=False)
    to_name = forms.CharField(label=_lazy("Or another name"), max_length=160, required=False)
    to_details = forms.CharField(
        label=_lazy("Their address, number or portal"), max_length=200, required=False
    )
    how = forms.ChoiceField(label=_lazy("How"), choices=Way.choices)
    what = forms.ChoiceField(label=_lazy("What was sent"), choices=What.choices)
    words = forms.CharField(label=_lazy("Remarks"), widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(
        self, *args: Any, contacts: Sequence[Contact], report: IssuedReport, at: datetime, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.contacts = {str(each.pk): each for each in contacts}
        known = [(key, f"{each.get_kind_display()}: {each.name}") for key, each in self.contacts.items()]
        self.fields["contact"].choices = [("", _("Somebody else")), *known]  # type: ignore[attr-defined]
        self.fields["sent_at"].initial = localtime(at).replace(second=0, microsecond=0)
        if getattr(report, "package", None) is None:
            self.fields["what"].choices = [(What.PDF.value, What.PDF.label)]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        contact = self.contacts.get(data.pop("contact", "") or "")
        if contact is not None and not data.get("to_name"):
            data["to_name"] = contact.name
            data["to_details"] = data.get("to_details") or contact.email or contact.phone
        if not data.get("to_name"):
            raise forms.ValidationError(
                _("Say to whom it was sent: choose a contact of the club, or write a name.")
            )
        return data


class AcknowledgementForm(OnceForm):
    on = forms.DateField(label=_lazy("Day of their answer"), widget=DAY)
    who = forms.CharField(label=_lazy("Who answered"), max_length=160)
    reference = forms.CharField(
        label=_lazy("Their reference, if they gave one"), max_length=80, required=False
    )
    words = forms.CharField(
        label=_lazy("What they said"), widget=forms.Textarea(attrs={"rows": 2}), required=False
    )
