"""The position part of a form: a typed reference, or what the device or the map filled in."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _lazy

from geo.errors import PositionError
from geo.morton import cell_of
from geo.position import Country
from geo.readings import Spot, read_spot
from web.position_model import MOST_TEXT, Method


class PositionFormMixin(forms.Form):
    """Mixin for forms of records with a PositionModel. Call `position_columns(country)` from clean().

    Typed text wins over the device, because somebody took the trouble. The scripts of the map and of
    the 'use my position' button fill the hidden fields; without them the text field is enough.
    """

    position_text = forms.CharField(
        label=_lazy("Where"),
        required=False,
        max_length=MOST_TEXT,
        help_text=(
            _lazy(
                "A grid reference (TA 4321 1234), or latitude and longitude (53.6012, 0.1534). Several readings of "
                "the same spot are averaged: one a line, each with its accuracy if you know it (TA 43211 12342 ±4 m)."
            )
        ),
        widget=forms.Textarea(attrs={"rows": 2, "autocomplete": "off", "data-position": "text"}),
    )
    typed_accuracy_m = forms.FloatField(
        label=_lazy("How exact, in metres"),
        required=False,
        min_value=0,
        max_value=10_000,
        help_text=_lazy("Leave empty if your receiver did not say."),
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

    position_notes: tuple[str, ...] = ()
    """What to tell the person about the readings, once `position_columns` was called."""

    def clean_position_text(self) -> str:
        """One reading a line, however the browser ends its lines."""
        lines = self.cleaned_data["position_text"].splitlines()
        return "\n".join(line.strip() for line in lines if line.strip())

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
            spot = read_spot(text, country=country, accuracy_m=self.cleaned_data.get("typed_accuracy_m"))
        except PositionError as error:
            self.add_error("position_text", str(error))
            return {}
        self.position_notes = spot.notes
        return _columns(spot, text)


def typed_columns(text: str, country: Country, *, accuracy_m: float | None = None) -> dict[str, Any]:
    """Columns for PositionModel from a typed reference, or several, a line each. Raises geo's PositionError."""
    return _columns(read_spot(text, country=country, accuracy_m=accuracy_m), text)


def _columns(spot: Spot, text: str) -> dict[str, Any]:
    positions = [reading.position for reading in spot.readings]
    systems = sorted({str(position.system) for position in positions})
    return {
        "lon": spot.lon,
        "lat": spot.lat,
        "accuracy_m": spot.accuracy_m,
        "position_method": Method.AVERAGED if len(positions) > 1 else Method.TYPED,
        "position_text": text,
        "position_system": ", ".join(systems)[:40],
        "transformation": "; ".join(dict.fromkeys(p.transformation for p in positions))[:120],
        "transformation_accuracy_m": max(p.transformation_accuracy_m for p in positions),
        "cell": cell_of(spot.lon, spot.lat),
    }
