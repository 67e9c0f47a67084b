"""Forms about what the ground says."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.errors import GeoError
from law.pack import pack_codes
from law.retold import retold
from law.together import licences_needed_in
from permissions.boundary_text import read_boundary
from permissions.forms.fields import DateField, InOrderMixin
from permissions.models import ClosedPeriod, FieldState, Licence, NoGoArea, ProtectedCheck, Site
from tongue import figure
from web.forms import OnceModelForm


class NoGoForm(OnceModelForm):
    """Ground to keep off: drawn, or its corners typed."""

    boundary_text = forms.CharField(
        label=_lazy("Where"),
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "off", "spellcheck": "false"}),
        help_text=_lazy(
            "Draw it on the map; or give its corners, one grid reference or latitude and longitude on each line; "
            "or paste GeoJSON."
        ),
    )
    field_order = ["reason", "buffer_m", "boundary_text"]

    class Meta:
        model = NoGoArea
        fields = ["reason", "buffer_m"]
        help_texts = {"buffer_m": _lazy("Metres kept free around it as well.")}

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.site = site
        self.fields["buffer_m"].max_value = 1000  # type: ignore[attr-defined]

    def clean_buffer_m(self) -> float:
        metres: float = self.cleaned_data["buffer_m"]
        if not 0 <= metres <= 1000:
            raise forms.ValidationError(
                _("A margin of %(metres)s m cannot be right; give 0 to 1000 metres.")
                % {"metres": figure(f"{metres:g}")}
            )
        return metres

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        text = self.cleaned_data.pop("boundary_text", None)
        if text:
            try:
                self.cleaned_data["geometry"] = read_boundary(text, country=self.site.country).geometry
            except GeoError as error:
                self.add_error("boundary_text", str(error))
        return values


class _NotLaterMixin(forms.Form):
    """`today` limits a day that has been seen already."""

    past_field = ""

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        given = self.cleaned_data.get(self.past_field)
        if given and given > self.today:
            words = _("%(given)s has not come yet; give today (%(today)s) or an earlier day.") % {
                "given": date_format(given, "j M Y"),
                "today": date_format(self.today, "j M Y"),
            }
            self.add_error(self.past_field, words)
        return values


class FieldStateForm(_NotLaterMixin, OnceModelForm):
    """What stands on the field, and who said so."""

    past_field = "on"

    class Meta:
        model = FieldState
        fields = ["on", "crop", "stage", "livestock", "effect", "cultivated", "said_by"]
        field_classes = {"on": DateField}
        help_texts = {
            "crop": _lazy("Wheat stubble, grass, rape, ploughed…"),
            "stage": _lazy("Drilled, 5 cm high, cut, grazed…"),
            "livestock": _lazy("Leave empty only if there is none."),
            "cultivated": _lazy("What was searched before counts as new ground."),
        }


class ClosedPeriodForm(InOrderMixin, OnceModelForm):
    """Days on which the site is shut or asks."""

    class Meta:
        model = ClosedPeriod
        fields = ["reason", "starts", "ends", "yearly", "effect"]
        field_classes = {"starts": DateField, "ends": DateField}
        help_texts = {
            "starts": _lazy("Both days belong to the period."),
            "yearly": _lazy(
                "Then only day and month count. For a season over new year give days of two years."
            ),
        }


class ProtectedCheckForm(_NotLaterMixin, OnceModelForm):
    """What the official maps of protected places showed."""

    past_field = "checked_on"

    class Meta:
        model = ProtectedCheck
        fields = ["checked_on", "result", "place", "source"]
        field_classes = {"checked_on": DateField}
        help_texts = {
            "source": _lazy("Name the map or register and its date."),
            "place": _lazy("Name and number, if one is near."),
        }

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        result = self.cleaned_data.get("result")
        if result and result != ProtectedCheck.Result.CLEAR and not self.cleaned_data.get("place"):
            self.add_error(
                "place", _("Name the protected place that is near, so that people can keep off it.")
            )
        return values


class LicenceForm(InOrderMixin, OnceModelForm):
    """A licence as granted, for the site it is added from."""

    class Meta:
        model = Licence
        fields = ["code", "number", "authority", "starts", "ends"]
        field_classes = {"starts": DateField, "ends": DateField}

    def __init__(self, *args: Any, site: Site, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"] = forms.ChoiceField(
            label=_("Which licence"), choices=licence_choices(site.jurisdiction)
        )


def licence_choices(jurisdiction: str) -> list[tuple[str, str]]:
    """The licences that lift something under the law of that place, by its own codes."""
    needed = licences_needed_in(jurisdiction) if jurisdiction in pack_codes() else {}
    said = {code: retold(words) for code, words in needed.items()}
    return [(code, words[:1].upper() + words[1:]) for code, words in said.items()] or [
        ("other", _("Official licence"))
    ]
