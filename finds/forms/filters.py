"""Which finds a map or a page of patterns is about, and which part of the map is looked at."""

from datetime import date
from typing import Any

from django import forms
from django.db.models import Max, Min
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.models.find import Material
from hunts.models import Hunt
from people.models import User
from web.forms import BaseForm

SEASON_BEGINS = 8  # common practice: a searching season runs from harvest to harvest, here from 1 August
OLDEST, NEWEST = -1_000_000, 2200


def season_of(day: date) -> int:
    """The year in which the season of this day began."""
    return day.year if day.month >= SEASON_BEGINS else day.year - 1


def season_words(year: int) -> str:
    """'2025/26'."""
    return f"{year}/{(year + 1) % 100:02}"


def season_days(year: int) -> tuple[date, date]:
    """The first and the last day of a season."""
    return date(year, SEASON_BEGINS, 1), date(year + 1, SEASON_BEGINS - 1, 31)


class FindFilterForm(BaseForm):
    """Period, years, material, object, hunt, season and site; empty fields leave all in."""

    q = forms.CharField(label=_lazy("Object"), required=False, max_length=80)
    period = forms.CharField(label=_lazy("Period"), required=False, max_length=60)
    year_from = forms.IntegerField(
        label=_lazy("Made after (BC as minus)"), required=False, min_value=OLDEST, max_value=NEWEST
    )
    year_to = forms.IntegerField(
        label=_lazy("and before"), required=False, min_value=OLDEST, max_value=NEWEST
    )
    material = forms.ChoiceField(
        label=_lazy("Material"), required=False, choices=[("", _lazy("Any")), *Material.choices]
    )
    season = forms.TypedChoiceField(
        label=_lazy("Season, from 1 August"), required=False, coerce=int, empty_value=None
    )
    hunt = forms.CharField(label=_lazy("Hunt code"), required=False, max_length=20)
    site = forms.CharField(label=_lazy("Site code"), required=False, max_length=12)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["season"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", _lazy("Any")), *((year, season_words(year)) for year in _seasons(user))]

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        first, last = values.get("year_from"), values.get("year_to")
        for name in ("year_from", "year_to"):
            if values.get(name) == 0:
                self.add_error(name, _("There is no year 0: write 1 BC as -1 and AD 1 as 1."))
        if first is not None and last is not None and last < first:
            self.add_error(
                "year_to",
                _("%(last)s is before %(first)s; give the earlier year first.")
                % {"last": last, "first": first},
            )
        return values

    @property
    def asked(self) -> dict[str, Any]:
        """What was asked and could be read; what could not is named beside its field and left out."""
        self.is_valid()
        return {name: value for name, value in self.cleaned_data.items() if value not in ("", None)}


def _seasons(user: User) -> range:
    """Seasons with hunts that `user` sees, the latest first."""
    ends = Hunt.objects.visible_to(user).order_by().aggregate(first=Min("on"), last=Max("on"))
    if ends["first"] is None:
        return range(0)
    return range(season_of(ends["last"]), season_of(ends["first"]) - 1, -1)


class FrameForm(forms.Form):
    """The part of the map on a reader's screen, in degrees, and its zoom; all of it or none."""

    west = forms.FloatField(required=False, min_value=-180, max_value=180)
    south = forms.FloatField(required=False, min_value=-90, max_value=90)
    east = forms.FloatField(required=False, min_value=-180, max_value=180)
    north = forms.FloatField(required=False, min_value=-90, max_value=90)
    zoom = forms.IntegerField(required=False, min_value=0, max_value=22)

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return values
        given = [name for name in self.fields if values.get(name) is not None]
        if given and len(given) < len(self.fields):
            missing = ", ".join(name for name in self.fields if name not in given)
            raise forms.ValidationError(
                _("The frame lacks %(missing)s; give all five values or none.") % {"missing": missing}
            )
        if given and (values["west"] > values["east"] or values["south"] > values["north"]):
            raise forms.ValidationError(
                _("The frame is turned inside out; give west before east, south before north.")
            )
        return values
