"""Forms of consents."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from permissions.evidence import EvidenceError, take_evidence
from permissions.forms.fields import DateField, InOrderMixin
from permissions.models import Consent, Landholder, Permission, Site, SiteParty
from permissions.models.site import Capacity
from web.forms import BaseForm, OnceModelForm


class ConsentForm(InOrderMixin, OnceModelForm):
    """One landholder's yes. Who may say it comes from the sites of the permission."""

    party = forms.ChoiceField(
        label=_lazy("Who consents"), error_messages={"required": _lazy("Choose who consents.")}
    )
    evidence_upload = forms.FileField(
        label=_lazy("The paper or message"),
        required=False,
        help_text=_lazy("A PDF, or a photograph of the paper, up to 10 MB. It stays private."),
        widget=forms.ClearableFileInput(attrs={"accept": "application/pdf,image/*"}),
    )
    field_order = [
        "party",
        "given_on",
        "starts",
        "ends",
        "sites",
        "evidence_kind",
        "evidence_upload",
        "notes",
    ]

    class Meta:
        model = Consent
        fields = ["given_on", "starts", "ends", "sites", "evidence_kind", "notes"]
        field_classes = {"given_on": DateField, "starts": DateField, "ends": DateField}
        widgets = {"sites": forms.CheckboxSelectMultiple}
        labels = {"sites": _lazy("Only for these sites")}
        help_texts = {
            "given_on": _lazy("Leave empty if they have been asked but have not answered."),
            "sites": _lazy("None chosen means all sites of the permission."),
            "evidence_kind": _lazy("A spoken yes alone makes the gate ask for it in writing."),
        }

    def __init__(self, *args: Any, permission: Permission, user: User, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        if self.instance.pk:
            self.fields["party"].initial = f"{self.instance.landholder_id}:{self.instance.capacity}"
        choices = party_choices(permission)
        own = (self.fields["party"].initial, str(self.instance.landholder)) if self.instance.pk else None
        if own and own[0] not in dict(choices):
            choices.append(own)  # a say that has ended since stays what the consent was given in
        self.fields["party"].choices = choices  # type: ignore[attr-defined]
        covered = Site.objects.visible_to(user).filter(permissions=permission)
        self.fields["sites"].queryset = covered  # type: ignore[attr-defined]
        self.landholders = Landholder.objects.visible_to(user)

    def clean_given_on(self) -> date | None:
        given: date | None = self.cleaned_data["given_on"]
        if given and given > self.today:
            raise forms.ValidationError(
                _("%(given)s has not come yet; give the day on which they said yes.")
                % {"given": date_format(given, "j M Y")}
            )
        return given

    def clean_evidence_upload(self) -> Any:
        upload = self.cleaned_data["evidence_upload"]
        if not upload:
            return None
        try:
            return take_evidence(upload)
        except EvidenceError as error:
            raise forms.ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        landholder, _rest, capacity = self.cleaned_data.pop("party", "").partition(":")
        if capacity:
            self.cleaned_data["landholder"] = self.landholders.get(pk=landholder)
            self.cleaned_data["capacity"] = capacity
        self.cleaned_data["evidence"] = self.cleaned_data.pop("evidence_upload", None)
        return values


def party_choices(permission: Permission) -> list[tuple[str, str]]:
    """Each landholder and capacity on the permission's sites once, those who decide first."""
    parties = SiteParty.objects.filter(site__permissions=permission).select_related("landholder")
    words = {(p.landholder_id, p.capacity): p.landholder.name for p in parties}
    order = {capacity: place for place, capacity in enumerate(Capacity.values)}
    ranked = sorted(words.items(), key=lambda item: (order[item[0][1]], item[1]))
    return [
        (f"{pk}:{capacity}", f"{name}, {Capacity(capacity).label.lower()}") for (pk, capacity), name in ranked
    ]


class WithdrawForm(BaseForm):
    """The first day on which a consent no longer counts."""

    on = DateField(label=_lazy("Withdrawn from"))
