"""The short form of quick entry: what one knows with the object in one hand and the phone in the other."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.circumstances import answers_from
from finds.forms.circumstances import CircumstancesMixin
from finds.forms.waiting_photos import FindPhotosMixin
from finds.models import Find
from finds.models.choices import Material
from finds.quick import place_of
from geo.inside import Verdict
from hunts.models import Hunt
from hunts.placing import judge, placing_columns
from people.models import User
from people.rights import Right
from tongue import figure
from web.forms import OnceModelForm
from web.position_form import PositionFormMixin


class QuickForm(CircumstancesMixin, FindPhotosMixin, PositionFormMixin, OnceModelForm):
    """Bound to one hunt; `last` is the find entered before in this sitting, whose place may be taken over."""

    typed_accuracy_m = None  # type: ignore[assignment]  # the text may say it: TA 43211 12342 ±4 m
    coin = forms.BooleanField(label=_lazy("It is a coin or token"), required=False)
    materials = forms.MultipleChoiceField(
        label=_lazy("Materials"),
        choices=Material.choices,
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    last = forms.IntegerField(widget=forms.HiddenInput, required=False)
    same_place = forms.BooleanField(label=_lazy("Same place as the last"), required=False)
    outside_is_right = forms.BooleanField(
        label=_lazy("The place is right although it lies outside the boundary"), required=False
    )
    field_order = (
        "object_type",
        "materials",
        "coin",
        "circumstances",
        "same_place",
        "position_text",
        "outside_is_right",
        "depth_cm",
        "photos",
        "drop_photos",
        "site",
        "finder",
        "found_at",
    )

    class Meta:
        model = Find
        fields = ["object_type", "depth_cm", "site", "finder", "found_at"]
        widgets = {
            "object_type": forms.TextInput(attrs={"autocapitalize": "none", "enterkeyhint": "next"}),
            "depth_cm": forms.NumberInput(attrs={"inputmode": "numeric"}),
            "found_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        }

    def __init__(
        self, *args: Any, hunt: Hunt, by: User, at: datetime, last: Find | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.last_find = hunt, last
        self.fields["position_text"].widget = forms.TextInput(
            attrs={"autocomplete": "off", "data-position": "text"}
        )
        self.fields["position_text"].help_text = _("A grid reference, or latitude and longitude.")
        self.fields["circumstances"].help_text = ""
        self._offer_last(last)
        self._start_values(by, at)
        self.show_waiting(by, at)

    def _offer_last(self, last: Find | None) -> None:
        if last is None or not last.is_fixed:
            del self.fields["same_place"], self.fields["last"]
            return
        self.fields["last"].initial = last.pk
        self.fields["same_place"].label = _("Same place as the last, %(last_number)s") % {
            "last_number": last.number
        }

    def _start_values(self, by: User, at: datetime) -> None:
        sites = self.hunt.sites.all()
        people = User.objects.visible_to(by)
        there = people.filter(sign_ups__hunt=self.hunt, sign_ups__state="in").distinct()
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        self.fields["finder"].queryset = there | people.filter(pk=by.pk).distinct()  # type: ignore[attr-defined]
        self.fields["finder"].initial = by
        if not (by.pk == self.hunt.leader_id or by.holds(Right.SEE_ALL_FINDS)):
            self.fields["finder"].widget = forms.HiddenInput()
        if len(sites) == 1:
            self.fields["site"].initial = sites[0]
            self.fields["site"].widget = forms.HiddenInput()
        when = localtime(min(at, self.hunt.finishes))
        self.fields["found_at"].initial = when.strftime("%Y-%m-%dT%H:%M")

    def asked(self) -> list[forms.BoundField]:
        """The fields that are filled in for each find."""
        hidden = {"found_at"} if "found_at" not in self.errors else set()
        if "outside_is_right" not in self.errors and not self.data.get("outside_is_right"):
            hidden.add("outside_is_right")  # asked only once a place lies outside
        return [field for field in self.visible_fields() if field.name not in hidden]

    def folded(self) -> list[forms.BoundField]:
        """What is filled in already and seldom changed."""
        return [] if "found_at" in self.errors else [self["found_at"]]

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        site = values.get("site")
        if site is not None:
            values["columns"] = self._same_place() if values.get("same_place") else self._columns(site)
        return values

    def _same_place(self) -> dict[str, Any]:
        if self.cleaned_data.get("position_text") or self.cleaned_data.get("device_lat") is not None:
            self.add_error("same_place", _("Another place is given too; take the tick or the place away."))
            return {}
        if self.last_find is None or self.last_find.pk != self.cleaned_data.get("last"):
            self.add_error(
                "same_place",
                _("Another find was entered meanwhile, so “the last” is no longer sure; give the place."),
            )
            return {}
        if self.last_find.site_id != self.cleaned_data["site"].pk:
            self.add_error("same_place", _("The last find lay on another field; give the place."))
            return {}
        return place_of(self.last_find)

    def _columns(self, site: Any) -> dict[str, Any]:
        columns = self.position_columns(site.country)
        judged = judge(self.hunt, site, columns)
        if judged is None:
            return {}
        if judged.verdict is Verdict.OUTSIDE and not self.cleaned_data.get("outside_is_right"):
            self.add_error(
                "outside_is_right",
                _(
                    "This place is %(judged_distance_m)s m outside the boundary of %(site_code)s. Check "
                    "it; if it is right, tick here and it is kept with a note."
                )
                % {"judged_distance_m": figure(f"{abs(judged.distance_m):,.0f}"), "site_code": site.code},
            )
        return columns | placing_columns(judged)

    def record_fields(self) -> dict[str, Any]:
        """The columns of the record, without what actions take separately."""
        said = self.cleaned_data
        fields = {name: said[name] for name in self.Meta.fields}
        fields["is_coin"] = "yes" if said["coin"] else "unknown"
        fields["facts"] = answers_from(said["circumstances"])
        columns: dict[str, Any] = said.get("columns", {})
        return fields | columns

    def materials_found(self) -> dict[str, Decimal | None]:
        return dict.fromkeys(self.cleaned_data["materials"])
