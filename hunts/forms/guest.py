"""Bring a guest or a junior."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import Guest, Hunt, SignUp
from hunts.models.guest import ADULT_AGE
from people.models import User
from people.rights import Right
from web.forms import OnceModelForm


class _ByName(forms.ModelChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        return str(obj.user.name)


class GuestForm(OnceModelForm):
    """Bound to one hunt. A member brings their own guests; those who run hunts choose the host."""

    host = _ByName(None, label=_lazy("Who brings them"), empty_label=_lazy("Choose"))
    responsible = _ByName(
        None,
        label=_lazy("Adult who answers for the junior all day"),
        required=False,
        empty_label=_lazy("Choose"),
        help_text=_lazy("Somebody with a place on this hunt; they stay together and sign out last."),
    )
    field_order = [
        "name", "is_junior", "age", "responsible", "insurer", "insured_until", "emergency_contact", "host",
    ]  # fmt: skip

    class Meta:
        model = Guest
        fields = ["name", "is_junior", "age", "insurer", "insured_until", "emergency_contact"]
        widgets = {
            "insured_until": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "age": forms.NumberInput(attrs={"inputmode": "numeric"}),
        }
        help_texts = {
            "age": _lazy("For a junior, and where the terms ask for a least age."),
            "insurer": _lazy("Whose public liability card covers them on the day."),
        }

    def __init__(self, *args: Any, hunt: Hunt, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, fields = hunt, self.fields
        rows = SignUp.objects.visible_to(by).filter(hunt=hunt).standing().select_related("user")
        own = next((row for row in rows if row.user_id == by.pk), None)
        for name in ("host", "responsible"):
            fields[name].queryset = rows  # type: ignore[attr-defined]
            fields[name].initial = own.pk if own else None
        if not by.holds(Right.RUN_HUNT):
            fields["host"].widget = forms.HiddenInput()
        if hunt.permission is None or not hunt.permission.juniors_allowed:
            for name in ("is_junior", "responsible"):
                del fields[name]

    def clean_insured_until(self) -> date:
        day: date = self.cleaned_data["insured_until"]
        if day < self.hunt.on:
            raise forms.ValidationError(
                _("%(day)s is before the hunt on %(hunt_on)s; a card must cover that day.")
                % {"day": date_format(day, "j M Y"), "hunt_on": date_format(self.hunt.on, "j M Y")}
            )
        return day

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        age = values.get("age")
        if values.get("is_junior"):
            if age is None or age >= ADULT_AGE:
                said = (
                    _("Give the junior's age")
                    if age is None
                    else _("%(age)s is not under %(adult_age)s") % {"age": age, "adult_age": ADULT_AGE}
                )
                self.add_error(
                    "age",
                    _("%(said)s; a junior is 0 to %(value)s years old.")
                    % {"said": said, "value": ADULT_AGE - 1},
                )
            if values.get("responsible") is None:
                self.add_error(
                    "responsible", _("Choose the adult with a place on this hunt who answers for them.")
                )
        elif age is not None and age < ADULT_AGE:
            self.add_error(
                "age",
                _("%(age)s is under %(adult_age)s: tick that they are, and name the adult.")
                % {"age": age, "adult_age": ADULT_AGE},
            )
        return values

    def record_fields(self) -> dict[str, Any]:
        names = [*self.Meta.fields, "host", "responsible"]
        return {name: self.cleaned_data[name] for name in names if name in self.cleaned_data}
