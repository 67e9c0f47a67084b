"""The part of the find form that asks when a photograph was taken far from the place given, or offers its place."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.ask import ask, ask_field
from geo.measure import Shape
from permissions.models import Site
from tongue import figure
from web.photo_place import PhotoPlace, from_text, places_of, to_text


class PhotoPlaceMixin(forms.Form):
    """Mixin for a find's form with `photos`. Call `with_photo_place(columns, …)` once the position is read.

    Only what was typed in this form is compared. The place that a record holds already may be locked: a distance to it,
    told to somebody who may change the record but not see the place, would tell where it is.
    """

    photo_places = forms.CharField(required=False, max_length=1000, widget=forms.HiddenInput)
    place_choice = ask_field(_lazy("Which place is it?"))

    def with_photo_place(self, columns: dict[str, Any], site: Site, boundary: Shape) -> dict[str, Any]:
        """The columns to keep: those given, or the photograph's once it was chosen. Asks where that is due."""
        places = from_text(self.cleaned_data.get("photo_places") or "")
        places += places_of(self.cleaned_data.get("photos") or [])
        if not places or "position_text" in self.errors:
            return columns
        self._carry(places)
        if columns:
            return self._compared(columns, places, site)
        return self._offered([place for place in places if place.is_on(boundary)], site)

    def _carry(self, places: list[PhotoPlace]) -> None:
        """Photographs are sent once; what they said of the place travels with the form until it is saved."""
        sent: Any = self.data
        data = sent.copy()
        data[self.add_prefix("photo_places")] = to_text(dict.fromkeys(places))
        self.data = data

    def _compared(self, columns: dict[str, Any], places: list[PhotoPlace], site: Site) -> dict[str, Any]:
        nearest = min(places, key=lambda place: place.distance_m(columns))
        choice = self.cleaned_data.get("place_choice")
        if choice == "photo":
            return nearest.columns()
        if choice == "given" or not nearest.is_far_from(columns):
            return columns
        away = nearest.distance_m(columns)
        far = (
            _("%(value)s km") % {"value": figure(f"{away / 1000:,.1f}")} if away >= 1000 else f"{away:.0f} m"
        )
        ask(
            self,
            "place_choice",
            _(
                "The photograph was taken %(far)s from the place given, farther than both accuracies "
                "allow. Which is right?"
            )
            % {"far": far},
            [
                ("given", _("The place I gave; the photograph was taken elsewhere")),
                ("photo", _("The photograph’s place, %(words)s") % {"words": nearest.words(site.country)}),
            ],
        )
        return columns

    def _offered(self, places: list[PhotoPlace], site: Site) -> dict[str, Any]:
        """The photograph's place for a find without one, if it lies on the ground that was searched."""
        record = self.instance  # type: ignore[attr-defined]
        choice = self.cleaned_data.get("place_choice")
        if not places or choice == "given" or (record.pk and record.is_fixed):
            return {}
        if choice == "photo":
            return places[0].columns()
        ask(
            self,
            "place_choice",
            _("No place was given, and the photograph says where it was taken. Was that where the find lay?"),
            [
                (
                    "photo",
                    _("Yes, take the photograph’s place, %(words)s")
                    % {"words": places[0].words(site.country)},
                ),
                ("given", _("No, leave the place empty")),
            ],
        )
        return {}
