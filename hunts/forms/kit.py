"""Kit, set-up, ground reading, bench test and care."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.care import CareDue
from hunts.models import BenchTest, GroundReading, Hunt, Kit, SetUp
from hunts.models.bench import DISTANCES, Item, Orientation
from people.models import User
from web.forms import BaseForm, OnceModelForm

WHEN = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
NUMBER = {"inputmode": "numeric"}
SIGNED = {"inputmode": "text", "pattern": "-?[0-9]*", "autocomplete": "off"}


class KitForm(OnceModelForm):
    class Meta:
        model = Kit
        fields = [
            "name", "machine", "coil_shape", "coil_length_cm", "coil_width_cm", "frequency", "battery_hours",
            "ground_scale",
        ]  # fmt: skip
        help_texts = {
            "name": _lazy("Short, as you say it: beach machine, big coil."),
            "machine": _lazy("In your own words. Nothing depends on it."),
            "coil_length_cm": _lazy("Along the walk; the plan of a hunt counts with it."),
            "battery_hours": _lazy("As its manual says. The log then tells when 70 % of it is used."),
            "ground_scale": _lazy(
                "For example: phase 0 to 99. Readings of different scales are never compared."
            ),
        }

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class _OnHuntForm(OnceModelForm):
    """A record of one's own kit on one hunt, timed on its day."""

    when = ""

    def __init__(self, *args: Any, hunt: Hunt, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.at = hunt, at
        kits = Kit.objects.visible_to(by).in_use()
        if self.instance.pk:
            kits = kits | Kit.objects.visible_to(by).filter(pk=self.instance.kit_id)
        self.fields["kit"].queryset = kits  # type: ignore[attr-defined]
        self.fields["kit"].empty_label = None  # type: ignore[attr-defined]
        now_or_then = at if localdate(at) == hunt.on else hunt.begins
        self.fields[self.when].initial = localtime(now_or_then).strftime("%Y-%m-%dT%H:%M")

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}  # type: ignore[attr-defined]

    def _on_the_day(self, name: str) -> datetime:
        moment: datetime = self.cleaned_data[name]
        when = localtime(moment)
        if moment > self.at:
            raise forms.ValidationError(
                _("%(when)s has not come yet; give the time it was so.")
                % {"when": date_format(when, "j M Y, H:i")}
            )
        if when.date() != self.hunt.on:
            raise forms.ValidationError(
                _("%(when)s is not the day of %(hunt_code)s (%(hunt_on)s); give a time on that day.")
                % {
                    "when": date_format(when, "j M Y"),
                    "hunt_code": self.hunt.code,
                    "hunt_on": date_format(self.hunt.on, "j M Y"),
                }
            )
        return moment


class SetUpForm(_OnHuntForm):
    when = "set_at"

    class Meta:
        model = SetUp
        fields = [
            "kit", "mode", "set_at", "sensitivity", "recovery_speed", "discrimination", "threshold", "battery_start",
            "battery_end", "hours", "notes",
        ]  # fmt: skip
        widgets = {
            "set_at": WHEN,
            "battery_start": forms.NumberInput(attrs=NUMBER),
            "battery_end": forms.NumberInput(attrs=NUMBER),
        }
        help_texts = {
            "mode": _lazy("As you call it. The target IDs of two modes are never mixed."),
            "set_at": _lazy("Holes after this time count for this set-up, until you log another."),
            "hours": _lazy("How long the machine ran. Fill it in at the end, with the battery."),
        }

    def clean_set_at(self) -> datetime:
        return self._on_the_day("set_at")

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        start, end = values.get("battery_start"), values.get("battery_end")
        if start is not None and end is not None and end > start:
            self.add_error(
                "battery_end",
                _(
                    "%(end)s %% at the end is more than %(start)s %% at the start. If you charged in "
                    "between, log a new set-up."
                )
                % {"end": end, "start": start},
            )
        return values


class GroundReadingForm(_OnHuntForm):
    when = "read_at"

    class Meta:
        model = GroundReading
        fields = ["environment", "value", "kit", "scale", "read_at", "notes"]
        widgets = {"environment": forms.RadioSelect, "read_at": WHEN}
        help_texts = {"scale": _lazy("Your machine's own, for example: phase 0 to 99.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["environment"]
        field.choices = [choice for choice in field.choices if choice[0]]
        first = self.fields["kit"].queryset.first()  # type: ignore[attr-defined]
        self.fields["scale"].initial = first.ground_scale if first else ""

    def clean_read_at(self) -> datetime:
        return self._on_the_day("read_at")


class BenchForm(OnceModelForm):
    """One pass. Everything but the readings is a tap, and the next pass comes filled in."""

    heard = forms.TypedChoiceField(
        label=_lazy("Heard"),
        choices=[("yes", _lazy("Yes")), ("no", _lazy("No"))],
        coerce=lambda word: word == "yes",
        widget=forms.RadioSelect,
        initial="yes",
    )
    distance_cm = forms.TypedChoiceField(
        label=_lazy("Distance"),
        choices=DISTANCES,
        coerce=int,
        widget=forms.RadioSelect,
        initial=DISTANCES[0][0],
    )
    item = forms.ChoiceField(label=_lazy("Item"), choices=Item.choices, widget=forms.RadioSelect)
    orientation = forms.ChoiceField(
        label=_lazy("Which way up"), choices=Orientation.choices, widget=forms.RadioSelect, initial="face"
    )
    field_order = ["item", "heard", "first", "second", "third", "distance_cm", "orientation", "mode"]

    class Meta:
        model = BenchTest
        fields = ["item", "heard", "first", "second", "third", "distance_cm", "orientation", "mode"]
        widgets = {
            "first": forms.TextInput(attrs=SIGNED),
            "second": forms.TextInput(attrs=SIGNED),
            "third": forms.TextInput(attrs=SIGNED),
        }
        help_texts = {"mode": _lazy("As in your set-up log, so that the two can be set side by side.")}

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        given = [values.get(name) for name in ("first", "second", "third")]
        if values.get("heard") is False and any(each is not None for each in given):
            self.add_error(
                "heard",
                _("It was not heard, yet there are readings; choose heard, or leave the readings empty."),
            )
        return values


class CareForm(BaseForm):
    """What is still to do of one checklist, and the day it was done."""

    tasks = forms.MultipleChoiceField(
        label=_lazy("Done"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _lazy("Nothing is ticked; tick what you have done.")},
    )
    done_on = forms.DateField(
        label=_lazy("On"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, due: CareDue, on: date, **kwargs: Any) -> None:
        super().__init__(*args, prefix=due.occasion, **kwargs)
        self.fields["tasks"].choices = [(task.code, _(task.words)) for task in due.todo]  # type: ignore[attr-defined]
        self.fields["done_on"].initial = on
