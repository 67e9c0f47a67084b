"""The position part of a form: a typed reference, or what the device or the map filled in."""

from typing import Any

from django import forms

from geo.errors import PositionError
from geo.morton import cell_of
from geo.position import Country, parse_position
from web.position_model import Method


class PositionFormMixin(forms.Form):
    """Mixin for forms of records with a PositionModel. Call `position_columns(country)` from clean().

    Typed text wins over the device, because somebody took the trouble. The scripts of the map and of
    the 'use my position' button fill the hidden fields; without them the text field is enough.
    """

    position_text = forms.CharField(
        label="Where",
        required=False,
        max_length=120,
        help_text="A grid reference (TA 4321 1234), or latitude and longitude (53.6012, 0.1534).",
        widget=forms.TextInput(attrs={"autocomplete": "off", "data-position": "text"}),
    )
    typed_accuracy_m = forms.FloatField(
        label="How exact, in metres",
        required=False,
        min_value=0,
        max_value=10_000,
        help_text="Leave empty if your receiver did not say.",
    )
    device_lat = forms.FloatField(
        required=False, min_value=-90, max_value=90, widget=forms.HiddenInput(attrs={"data-position": "lat"})
    )
    device_lon = forms.FloatField(
        required=False,
        min_value=-180,
        max_value=180,
        widget=forms.HiddenInput(attrs={"data-position": "lon"}),
    )
    device_accuracy_m = forms.FloatField(
        required=False, min_value=0, widget=forms.HiddenInput(attrs={"data-position": "accuracy"})
    )
    position_method = forms.ChoiceField(
        required=False, choices=Method.choices, widget=forms.HiddenInput(attrs={"data-position": "method"})
    )

    def position_columns(self, country: Country) -> dict[str, Any]:
        """Columns for PositionModel, or an empty dict; puts an error on `position_text` when it cannot be read."""
        text = (self.cleaned_data.get("position_text") or "").strip()
        if text:
            return self._typed(text, country)
        lat, lon = self.cleaned_data.get("device_lat"), self.cleaned_data.get("device_lon")
        if lat is None or lon is None:
            return {}
        return {
            "lon": lon,
            "lat": lat,
            "accuracy_m": self.cleaned_data.get("device_accuracy_m"),
            "position_method": self.cleaned_data.get("position_method") or Method.DEVICE,
            "position_text": "",
            "position_system": "wgs84",
            "transformation": "",
            "transformation_accuracy_m": None,
            "cell": cell_of(lon, lat),
        }

    def _typed(self, text: str, country: Country) -> dict[str, Any]:
        try:
            return typed_columns(text, country, accuracy_m=self.cleaned_data.get("typed_accuracy_m"))
        except PositionError as error:
            self.add_error("position_text", str(error))
            return {}


def typed_columns(text: str, country: Country, *, accuracy_m: float | None = None) -> dict[str, Any]:
    """Columns for PositionModel from a typed reference. Raises geo's PositionError."""
    found = parse_position(text, country=country)
    return {
        "lon": found.lon,
        "lat": found.lat,
        "accuracy_m": accuracy_m or found.resolution_m or None,
        "position_method": Method.TYPED,
        "position_text": text,
        "position_system": str(found.system),
        "transformation": found.transformation,
        "transformation_accuracy_m": found.transformation_accuracy_m,
        "cell": cell_of(found.lon, found.lat),
    }
