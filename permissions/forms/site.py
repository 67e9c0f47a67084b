"""Forms of a site and its boundary."""

import json
from hashlib import sha256
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.areas import Country
from geo.errors import GeoError
from geo.polygon import CheckedBoundary
from geo.position import parse_position
from people.models import User
from permissions.boundary_text import read_boundary
from permissions.forms.fields import DateField, jurisdictions
from permissions.models import Site
from permissions.models.site import COUNTRIES, Said
from permissions.place import tells_lands_apart
from web.form_parts import PartsMixin
from web.forms import BaseForm, BaseModelForm


class BoundaryMixin(forms.Form):
    """The boundary as text, which the map fills in and which can be typed or pasted without one."""

    boundary_text = forms.CharField(
        label=_lazy("Boundary"),
        widget=forms.Textarea(attrs={"rows": 6, "autocomplete": "off", "spellcheck": "false"}),
        help_text=_lazy(
            "Draw it on the map; or give its corners in order, one grid reference (TA 4321 1234) or latitude "
            "and longitude (53.6012, 0.1534) on each line; or paste GeoJSON."
        ),
        error_messages={"required": _lazy("Draw the boundary, or give its corners, one on each line.")},
    )

    # The mark of the mended boundary that the person has looked at; another boundary is looked at anew.
    seen = forms.CharField(widget=forms.HiddenInput, required=False)
    checked: CheckedBoundary | None = None

    @property
    def needs_look(self) -> bool:
        """Was something mended or left out that the person has not looked at on the map yet?"""
        checked = self.checked
        return bool(checked and checked.repaired and self.cleaned_data.get("seen") != _mark(checked))

    def show(self) -> None:
        """Put the mark of the boundary into the form, so that the next sending saves it."""
        if self.checked:
            self.data = dict(self.data.items()) | {self.add_prefix("seen"): _mark(self.checked)}

    def check_boundary_for(self, country: Country) -> CheckedBoundary | None:
        """The checked boundary, or None with the reason beside the field; what was typed stays."""
        text = self.cleaned_data.get("boundary_text")
        if not text:
            return None
        try:
            return read_boundary(text, country=country)
        except GeoError as error:
            self.add_error("boundary_text", str(error))
            return None


def _mark(checked: CheckedBoundary) -> str:
    return sha256(json.dumps(checked.geometry).encode()).hexdigest()[:32]


class SiteForm(PartsMixin, BaseModelForm):
    """What is known of a site, all but its boundary. `user` says whose codes are compared."""

    FOLDS = (
        (_lazy("What the law tells apart"), ("land_use", "tidal", "church_land", "land_status")),
        (_lazy("When it is used no longer"), ("retired_on",)),
    )

    client_id = forms.UUIDField(widget=forms.HiddenInput, required=False)
    gate_text = forms.CharField(
        label=_lazy("Way in"),
        required=False,
        max_length=120,
        help_text=_lazy(
            "The gate to use: a grid reference, or latitude and longitude. It goes on the emergency card."
        ),
    )

    class Meta:
        model = Site
        fields = [
            "code", "name", "holding", "parish", "jurisdiction", "tenure", "land_use", "tidal", "church_land",
            "land_status",
            "access", "postcode", "hazards", "retired_on",
        ]  # fmt: skip
        field_classes = {"retired_on": DateField}
        widgets = {"access": forms.Textarea(attrs={"rows": 3}), "hazards": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "code": _lazy("Short and written on bags and reports, such as SF04."),
            "tenure": _lazy("Let land needs the owner's and the tenant's consent."),
            "tidal": _lazy("Below the high-water mark of spring tides, or the bank of a tidal river."),
            "church_land": _lazy(
                "Churchyard, glebe, or owned by a church, chapel or cathedral. Leave it if unsure."
            ),
            "land_status": _lazy(
                "The law differs by it. Leave it if unsure: then both the gate and the screening ask."
            ),
            "hazards": _lazy(
                "Wires, wells, bulls, soft ground, ordnance, buried services: people read it before they come."
            ),
            "retired_on": _lazy("Leave empty while it is searched. Records stay."),
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        for name in ("tidal", "church_land", "land_status"):
            self.fields[name].required = False
            self.fields[name].empty_value = Said.UNKNOWN  # type: ignore[attr-defined]
        if not tells_lands_apart(self._place()):
            del self.fields["land_status"]
        self.fields["jurisdiction"] = forms.ChoiceField(label=_("Law that applies"), choices=jurisdictions)
        if self.instance.gate_lat is not None and self.instance.gate_lon is not None:
            self.fields["gate_text"].initial = f"{self.instance.gate_lat:.6f}, {self.instance.gate_lon:.6f}"

    def _place(self) -> str:
        """The place whose law applies, as sent, as kept, or as a new form begins."""
        sent = self.data.get(self.add_prefix("jurisdiction"))
        return str(sent or self.initial.get("jurisdiction") or self.instance.jurisdiction)

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        text = self.cleaned_data.pop("gate_text", "").strip()
        self.cleaned_data.update(gate_lon=None, gate_lat=None)
        if text:
            try:
                gate = parse_position(text, country=country_of(self.cleaned_data.get("jurisdiction", "")))
            except GeoError as error:
                self.add_error("gate_text", str(error))
            else:
                self.cleaned_data.update(gate_lon=gate.lon, gate_lat=gate.lat)
        return values

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"].strip().upper()
        others = Site.objects.visible_to(self.user).filter(code__iexact=code).exclude(pk=self.instance.pk)
        other = others.exclude(client_id=self._key()).first()
        if other is not None:
            raise forms.ValidationError(
                _("“%(code)s” is the code of %(other_name)s already; choose another.")
                % {"code": code, "other_name": other.name}
            )
        return code

    def _key(self) -> Any:
        """The key of this form: the row that its first sending made does not count as another."""
        try:
            return self.fields["client_id"].clean(self.data.get("client_id"))
        except forms.ValidationError:
            return None

    def fields_to_save(self) -> dict[str, Any]:
        """What goes to the action: columns of the site only."""
        return {k: v for k, v in self.cleaned_data.items() if k not in {"client_id", "boundary_text", "seen"}}

    def validate_unique(self) -> None:
        """`clean_code` says it better, and lets the same form be sent twice."""


class NewSiteForm(BoundaryMixin, SiteForm):
    """A new site with its boundary; `checked` holds the boundary once the form is valid."""

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, user=user, **kwargs)
        self.fields["client_id"].initial = uuid4
        del self.fields["retired_on"]

    def fields_to_save(self) -> dict[str, Any]:
        return super().fields_to_save() | {"client_id": self.cleaned_data["client_id"]}

    def clean_client_id(self) -> Any:
        return self.cleaned_data.get("client_id") or uuid4()

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        self.checked = self.check_boundary_for(country_of(self.cleaned_data.get("jurisdiction", "")))
        return values


class BoundaryForm(BoundaryMixin, BaseForm):
    """A new line for a site that is there."""

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.country = site.country
        if site.boundary:
            self.fields["boundary_text"].initial = json.dumps(site.boundary, separators=(",", ":"))

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        self.checked = self.check_boundary_for(self.country)
        return values


def country_of(jurisdiction: str) -> Country:
    return COUNTRIES.get(jurisdiction, Country.OTHER)
