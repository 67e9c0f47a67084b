"""Log a hole: where, how deep, in what ground, what came out."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from geo.inside import Judgement, Verdict
from hunts.actions import PreparedHolePhoto
from hunts.forms.waiting_photos import WaitingPhotosMixin
from hunts.models import Hole, HolePhoto, Hunt, Incident, SignUp
from hunts.models.hole import Outcome
from hunts.placing import judge
from people.models import User
from people.rights import Right
from tongue import figure
from web.form_parts import PartsMixin
from web.forms import BaseForm, OnceModelForm
from web.photo_field import PhotosField
from web.position_form import PositionFormMixin

STOPS = [
    ("", _lazy("Choose")),
    *((k.value, k.label) for k in Incident.Kind if k in Incident.LOCKING or k == Incident.Kind.SERVICES),
]
STAGES = {"photo_before": "before", "photo_open": "open", "photo_after": "after"}
DEEPEST_CM = 200


class HoleForm(PartsMixin, WaitingPhotosMixin, PositionFormMixin, OnceModelForm):
    """Bound to one hunt; `columns` are the position's columns once it is valid."""

    stopped_for = forms.ChoiceField(label=_lazy("What stopped you"), choices=STOPS, required=False)
    filled = forms.BooleanField(label=_lazy("Filled at once"), required=False)
    photo_slots = tuple(STAGES)
    photo_before = PhotosField(label=_lazy("Photograph before digging"), required=False)
    photo_open = PhotosField(label=_lazy("Photograph of the open hole"), required=False)
    photo_after = PhotosField(label=_lazy("Photograph after filling"), required=False)
    outside_is_right = forms.BooleanField(
        label=_lazy("The place is right although it lies outside the boundary"), required=False
    )
    field_order = [
        "position_text", "typed_accuracy_m", "outside_is_right", "outcome", "stopped_for", "depth_cm", "target_id",
        "filled", "site", "ground", "digger", "dug_at", "notes", *STAGES, "drop_photos",
    ]  # fmt: skip

    FOLDS = (
        (_lazy("Ground, digger, time and notes"), ["ground", "digger", "dug_at", "notes"]),
        (_lazy("Photographs"), [*STAGES]),
    )

    class Meta:
        model = Hole
        fields = ["site", "digger", "dug_at", "depth_cm", "ground", "outcome", "target_id", "notes"]
        widgets = {
            "dug_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            "depth_cm": forms.NumberInput(attrs={"inputmode": "numeric"}),
            "target_id": forms.NumberInput(attrs={"inputmode": "numeric"}),
            "outcome": forms.RadioSelect,
        }

    def __init__(self, *args: Any, hunt: Hunt, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.at = hunt, at
        self.columns: dict[str, Any] = {}
        self.judged: Judgement | None = None
        self.fields["outcome"].choices = Outcome.choices  # type: ignore[attr-defined]  # without the empty one
        sites = self.fields["site"]
        sites.queryset = hunt.sites.all()  # type: ignore[attr-defined]
        self._choose_digger(by)
        self.show_waiting(by, at)
        if not self.data.get("outside_is_right"):
            self.fields["outside_is_right"].widget = forms.HiddenInput()  # asked only once it is needed
        if self.instance.pk:
            del self.fields["filled"]
            self.fields["position_text"].initial = self.instance.position_text
            self.fields["position_text"].help_text += _(" Leave as it is to keep the place that was logged.")
            return
        own = list(hunt.sites.all())
        sites.initial = own[0] if len(own) == 1 else None
        when = at if localdate(at) == hunt.on else hunt.finishes
        self.fields["dug_at"].initial = localtime(when).strftime("%Y-%m-%dT%H:%M")

    def _choose_digger(self, by: User) -> None:
        """One's own holes; the hunt's leader and those who see every hole choose among the people who came."""
        field: Any = self.fields["digger"]
        field.initial = self.instance.digger_id or by.pk
        people = SignUp.objects.visible_to(by).standing().filter(hunt=self.hunt).values("user")
        field.queryset = User.objects.visible_to(by).filter(pk__in=people) | User.objects.visible_to(
            by
        ).filter(pk=by.pk)
        if by.pk != self.hunt.leader_id and not (self.instance.pk and by.holds(Right.SEE_ALL_HOLES)):
            field.widget = forms.HiddenInput()

    def validate_constraints(self) -> None:
        """The fields' own checks say in words what the table's would say by their names; those stand behind them."""

    def clean_depth_cm(self) -> int:
        depth: int = self.cleaned_data["depth_cm"]
        if depth > DEEPEST_CM:
            raise forms.ValidationError(
                _("%(depth)s cm is deeper than %(deepest_cm)s cm; give the depth in centimetres.")
                % {"depth": depth, "deepest_cm": DEEPEST_CM}
            )
        return depth

    def clean_target_id(self) -> int | None:
        number: int | None = self.cleaned_data["target_id"]
        if number is not None and not -999 <= number <= 999:
            raise forms.ValidationError(
                _("%(number)s is no target ID; give -999 to 999, or leave it empty.") % {"number": number}
            )
        return number

    def clean_dug_at(self) -> datetime:
        dug_at: datetime = self.cleaned_data["dug_at"]
        when = localtime(dug_at)
        if dug_at > self.at:
            raise forms.ValidationError(
                _("%(when)s has not come yet; give the time when it was dug.")
                % {"when": date_format(when, "j M Y, H:i")}
            )
        if localdate(dug_at) != self.hunt.on:
            raise forms.ValidationError(
                _("%(when)s is not the day of %(hunt_code)s (%(hunt_on)s); give a time on that day.")
                % {
                    "when": date_format(when, "j M Y"),
                    "hunt_code": self.hunt.code,
                    "hunt_on": date_format(self.hunt.on, "j M Y"),
                }
            )
        return dug_at

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        stopped = values.get("outcome") == Outcome.STOPPED
        if stopped and not values.get("stopped_for") and not self._has_incident():
            self.add_error("stopped_for", _("Say what stopped you, so that the right drill is shown."))
        if stopped and values.get("filled"):
            self.add_error(
                "filled", _("Leave it as it is when bones, ordnance or a deposit stopped you: do not fill.")
            )
        site = values.get("site")
        if site is not None:
            self.columns = self._place(site, stopped)
        return values

    def _has_incident(self) -> bool:
        return bool(self.instance.pk) and self.instance.incidents.exists()

    def _place(self, site: Any, stopped: bool) -> dict[str, Any]:
        kept = self.instance.pk and self.cleaned_data.get("position_text") == self.instance.position_text
        columns = (
            {}
            if kept and self.cleaned_data.get("device_lat") is None
            else self.position_columns(site.country)
        )
        self.judged = judge(self.hunt, site, columns)
        outside = self.judged is not None and self.judged.verdict is Verdict.OUTSIDE
        if (
            self.judged is not None
            and outside
            and not stopped
            and not self.cleaned_data.get("outside_is_right")
        ):
            self.fields["outside_is_right"].widget = forms.CheckboxInput()
            self.add_error(
                "outside_is_right",
                _(
                    "This place is %(judged_distance_m)s m outside the boundary of %(site_code)s. Check "
                    "the reference or the site; if it is right, tick here and it is kept with a note."
                )
                % {
                    "judged_distance_m": figure(f"{abs(self.judged.distance_m):,.0f}"),
                    "site_code": site.code,
                },
            )
        return columns

    def record_fields(self) -> dict[str, Any]:
        """The columns of the hole, without what the action takes separately."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields} | self.columns

    def asked(self) -> dict[str, Any]:
        """What the action takes beside the columns; a hole that is there already is neither keyed nor filled."""
        beside = {"stopped_for": self.cleaned_data["stopped_for"], "photos": self.prepared()}
        if self.instance.pk:
            return beside
        return beside | {name: self.cleaned_data[name] for name in ("client_id", "filled")}

    def prepared(self) -> list[PreparedHolePhoto]:
        """Photographs that waited and that came now, each with its stage."""
        return [PreparedHolePhoto(taken, STAGES[slot]) for slot, taken in self.photos_to_keep()]


class HolePhotosForm(BaseForm):
    photos = PhotosField(label=_lazy("Photographs"))
    stage = forms.ChoiceField(
        label=_lazy("They show the hole"), choices=HolePhoto.Stage.choices, initial="after"
    )
    caption = forms.CharField(label=_lazy("Caption"), max_length=160, required=False)

    def prepared(self) -> list[PreparedHolePhoto]:
        stage, caption = self.cleaned_data["stage"], self.cleaned_data["caption"]
        return [PreparedHolePhoto(taken, stage, caption) for taken in self.cleaned_data["photos"]]


class ReopenForm(BaseForm):
    why = forms.CharField(
        label=_lazy("What is wrong with it"),
        max_length=300,
        error_messages={
            "required": _lazy("Say what is wrong with the hole, so that the digger can mend it.")
        },
    )
