"""Plan the sweep in the units people use, and give a recorded track."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.errors import GeoError
from geo.gpx import MAX_BYTES, read_gpx
from hunts.models import Hunt, HuntPlan, SignUp
from hunts.sweep import SweepError, within
from hunts.track_intake import PreparedTrack, prepare_gpx
from people.models import User
from people.rights import Right
from web.forms import BaseForm, OnceForm

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


class Asked(NamedTuple):
    """One number of the plan: its column, what one of it is there, its range as typed, and a hint."""

    column: str
    factor: float
    low: float
    high: float
    unit: StrOrPromise
    hint: StrOrPromise = ""


ASKED = {
    "coil_cm": Asked("coil_m", 0.01, 3, 120, "cm", _lazy("an 11 inch coil is 28 cm")),
    "overlap_percent": Asked("overlap", 0.01, 0, 95, "%", _lazy("half is 50")),
    "swing_m_s": Asked("swing_m_s", 1, 0.05, 3, "m/s", _lazy("2 to 5 ft/s is 0.6 to 1.5 m/s")),
    "swath_m": Asked("swath_m", 1, 0.4, 4, "m", _lazy("1.2 to 2.0 m is common")),
    "spacing_m": Asked(
        "spacing_m", 1, 0.3, 200, "m", _lazy("the swath sweeps everything, 10 m is a reconnaissance")
    ),
    "heading_deg": Asked("heading_deg", 1, 0, 360, _lazy("degrees"), _lazy("from north, clockwise")),
    "targets_per_ha": Asked("targets_per_ha", 1, 0, 100_000, _lazy("per hectare")),
    "minutes_per_dig": Asked("minutes_per_dig", 1, 0, 240, _lazy("minutes")),
    "people": Asked("people", 1, 1, 5000, _lazy("people")),
    "hours": Asked("hours", 1, 0.1, 24, _lazy("hours")),
}


def _number(label: StrOrPromise, source: StrOrPromise, **more: Any) -> forms.FloatField:
    widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
    return forms.FloatField(label=label, help_text=source, widget=widget, **more)


class GroundPlanForm(BaseForm):
    """Every number with where its first value comes from."""

    coil_cm = _number(
        _lazy("Coil length along the walk (cm)"),
        _lazy("Measure your own. Common: 13 to 38 cm; 28 to begin with."),
    )
    overlap_percent = _number(
        _lazy("Overlap of the sweeps (%)"), _lazy("Half a coil is what most are taught: common practice.")
    )
    swing_m_s = _number(
        _lazy("Swing speed of the coil (m/s)"),
        _lazy("Common practice: 0.6 to 1.5 m/s (2 to 5 ft/s), slower with pulse machines."),
    )
    swath_m = _number(
        _lazy("Swath, tip to tip (m)"), _lazy("Common practice: 1.2 to 2.0 m; 1.5 to begin with.")
    )
    spacing_m = _number(
        _lazy("Distance from lane to lane (m)"),
        _lazy("As wide as the swath sweeps everything once; 10 m is a reconnaissance."),
    )
    heading_deg = _number(
        _lazy("Heading of the lanes (degrees from north)"),
        _lazy("Leave empty for the one with the fewest turns."),
        required=False,
    )
    targets_per_ha = _number(
        _lazy("Signals worth digging on a hectare"),
        _lazy(
            "A guess to begin with: published diaries run from 25 to 800. Put in what this farm gave last time."
        ),
    )
    minutes_per_dig = _number(_lazy("Minutes for one hole, filled"), _lazy("Common practice: about 4."))
    people = forms.IntegerField(
        label=_lazy("People"), widget=forms.NumberInput(attrs={"inputmode": "numeric"})
    )
    hours = _number(
        _lazy("Hours each, sweeping and digging"),
        _lazy("The day less an hour for briefing, rest and roll call."),
    )

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        for name, asked in ASKED.items():
            value = values.get(name)
            if value is None:
                continue
            try:
                within(
                    str(self.fields[name].label),
                    value,
                    asked.low,
                    asked.high,
                    str(asked.unit),
                    str(asked.hint),
                )
            except SweepError as error:
                self.add_error(name, str(error))
        return values

    def columns(self) -> dict[str, Any]:
        """The columns of a HuntPlan."""
        values = self.cleaned_data
        return {
            asked.column: None if values[name] is None else _scaled(values[name], asked.factor)
            for name, asked in ASKED.items()
        }


def _scaled(value: float, factor: float) -> float:
    return value if factor == 1 else round(value * factor, 9)


def typed(plan: HuntPlan) -> dict[str, Any]:
    """What the form shows of a plan."""
    return {
        name: None if (value := getattr(plan, asked.column)) is None else f"{value / asked.factor:.6g}"
        for name, asked in ASKED.items()
    }


class TrackForm(OnceForm):
    """Bound to one hunt; `prepared` is the cleaned walk once the form is valid."""

    file = forms.FileField(
        label=_lazy("Track of the day (GPX file)"),
        help_text=_lazy(
            "Recorded by a phone or receiver, one person's walk. Only what lies on this ground is kept."
        ),
        widget=forms.ClearableFileInput(attrs={"accept": ".gpx,application/gpx+xml"}),
    )
    person: Any = forms.ModelChoiceField(None, label=_lazy("Whose walk"), required=False)
    swath_m = _number(
        _lazy("Swath, tip to tip (m)"), _lazy("What this person's swing reaches: 1.2 to 2.0 m is common.")
    )
    accuracy_m = _number(
        _lazy("Accuracy of the receiver (m)"),
        _lazy("95 of 100 points lie within this; 5 m is usual under open sky."),
    )

    def __init__(self, *args: Any, hunt: Hunt, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt = hunt
        self.prepared: PreparedTrack | None = None
        if by.holds(Right.RUN_HUNT):
            came = SignUp.objects.visible_to(by).filter(hunt=hunt).standing().values("user")
            people = User.objects.visible_to(by).filter(pk__in=came) | User.objects.visible_to(by).filter(
                pk=hunt.leader_id
            )
            self.fields["person"].queryset = people.distinct()  # type: ignore[attr-defined]
            self.fields["person"].empty_label = _("My own (%(by_name)s)") % {"by_name": by.name}  # type: ignore[attr-defined]
        else:
            del self.fields["person"]

    def clean_swath_m(self) -> float:
        return self._within("swath_m", 0.4, 4)

    def clean_accuracy_m(self) -> float:
        return self._within("accuracy_m", 0.5, 50)

    def _within(self, name: str, low: float, high: float) -> float:
        try:
            return within(str(self.fields[name].label), self.cleaned_data[name], low, high, "m")
        except SweepError as error:
            raise forms.ValidationError(str(error)) from error

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                self.prepared = self._prepare(values)
            except GeoError as error:
                self.add_error("file", str(error))
        return values

    def _prepare(self, values: dict[str, Any]) -> PreparedTrack:
        """Read no more than may be read, whatever the browser said of the size."""
        gpx = read_gpx(values["file"].read(MAX_BYTES + 1))
        return prepare_gpx(self.hunt, gpx, swath_m=values["swath_m"], accuracy_m=values["accuracy_m"])
