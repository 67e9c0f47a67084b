"""The find form: what it is, where it lay, what it is made of, with checks that name value and remedy."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.circumstances import facts_after, has_no_precious, ticks_from
from finds.coin_record import facts_from
from finds.forms.circumstances import CircumstancesMixin
from finds.forms.dating import DatingMixin
from finds.forms.materials import MaterialsMixin
from finds.forms.photo_place import PhotoPlaceMixin
from finds.forms.taken_back import TakenBackMixin
from finds.forms.terms import COMPLETENESS, CONDITIONS, CONTEXTS, LAND_USES, TermInput, plain
from finds.forms.waiting_photos import FindPhotosMixin
from finds.forms.weighing import WeighingMixin
from finds.from_hole import place_of_hole
from finds.models import Find
from finds.vocabularies import OBJECTS, labels_of
from geo.inside import Verdict, judge_inside
from hunts.models import Hole, Hunt
from people.models import User
from people.rights import Right
from tongue import figure
from web.form_parts import PartsMixin
from web.forms import OnceModelForm
from web.position_form import PositionFormMixin

FOLDS = (
    (_lazy("What it is made of"), ("materials", "no_precious")),
    (_lazy("Weight and size"), (
        "weight_g", "weight_unit", "length_mm", "width_mm", "thickness_mm", "diameter_mm",
    )),
    (_lazy("How old it is"), (
        "period", "year_from", "year_to", "edtf", "period_choice", "certainty", "identified_by", "identified_on",
    )),
    (_lazy("What it looks like"), ("inscription", "description", "completeness", "condition")),
    (_lazy("How it lay"), ("depth_cm", "context", "land_use")),
)  # fmt: skip


class FindForm(
    TakenBackMixin,
    CircumstancesMixin,
    PartsMixin,
    WeighingMixin,
    PhotoPlaceMixin,
    FindPhotosMixin,
    MaterialsMixin,
    DatingMixin,
    PositionFormMixin,
    OnceModelForm,
):
    """Bound to one hunt. `cleaned_data` gains `columns` for the record and `materials_found`."""

    outside_is_right = forms.BooleanField(
        label=_lazy("The place is right although it lies outside the boundary"), required=False
    )

    # What is known at the hole stands open; what the finds table adds is folded (FOLDS).
    field_order = (
        "object_type",
        "count",
        "is_coin",
        "circumstances",
        "position_text",
        "typed_accuracy_m",
        "place_choice",
        "outside_is_right",
        "site",
        "hole",
        "finder",
        "found_at",
        "realised_on",
        "photos",
        "drop_photos",
        *(name for _title, names in FOLDS for name in names),
    )
    FOLDS = FOLDS

    class Meta:
        model = Find
        fields = [
            "object_type",
            "site",
            "hole",
            "finder",
            "found_at",
            "count",
            "is_coin",
            "weight_g",
            "depth_cm",
            "period",
            "year_from",
            "year_to",
            "edtf",
            "certainty",
            "identified_by",
            "identified_on",
            "inscription",
            "description",
            "completeness",
            "condition",
            "context",
            "land_use",
            "length_mm",
            "width_mm",
            "thickness_mm",
            "diameter_mm",
            "realised_on",
        ]
        widgets = {
            "found_at": forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            "realised_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "identified_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "object_type": TermInput(plain(labels_of(OBJECTS)), {"maxlength": 80}),
            "completeness": TermInput(plain(COMPLETENESS), {"maxlength": 40}),
            "condition": TermInput(plain(CONDITIONS), {"maxlength": 80}),
            "context": TermInput(plain(CONTEXTS), {"maxlength": 80}),
            "land_use": TermInput(plain(LAND_USES), {"maxlength": 60}),
            "description": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, hunt: Hunt, by: User, at: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt, self.by, self.at = hunt, by, at
        self.fields["site"].queryset = hunt.sites.all()  # type: ignore[attr-defined]
        self.fields["hole"].queryset = Hole.objects.visible_to(by).filter(hunt=hunt)  # type: ignore[attr-defined]
        finders = User.objects.visible_to(by).filter(sign_ups__hunt=hunt, sign_ups__state="in").distinct()
        known = [by.pk, self.instance.finder_id or by.pk]
        known_finders = User.objects.visible_to(by).filter(pk__in=known).distinct()
        self.fields["finder"].queryset = finders | known_finders  # type: ignore[attr-defined]
        if not (by.pk == hunt.leader_id or by.holds(Right.SEE_ALL_FINDS)):
            self.fields["finder"].widget = forms.HiddenInput()
        self._start_values(by)
        if not self.instance.pk:
            self.fields["hole"].help_text = _("A find without a place gets that of its finder's own hole.")
        self.show_waiting(by, at)

    def _start_values(self, by: User) -> None:
        self.fields["finder"].initial = by
        sites = list(self.hunt.sites.all())
        if len(sites) == 1:
            self.fields["site"].initial = sites[0]
        self.show_dating(site.jurisdiction for site in sites)
        self.fields["found_at"].initial = localtime(min(self.at, self.hunt.finishes)).strftime(
            "%Y-%m-%dT%H:%M"
        )
        if self.instance.pk:
            self.show_materials(self.instance.materials.all())
            self.fields["circumstances"].initial = ticks_from(self.instance.facts)
            self.fields["no_precious"].initial = has_no_precious(self.instance.facts)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        site, found_at = values.get("site"), values.get("found_at")
        found_on = localtime(found_at).date() if found_at else None
        self.check_dating(site.jurisdiction if site else "", found_on, today=localtime(self.at).date())
        self.cleaned_data["materials_found"] = found = self.materials_found()
        self.check_weight(facts_from(values, found, site.jurisdiction if site else ""))
        if site is not None:
            self.cleaned_data["columns"] = self._columns(site)
        return values

    def _columns(self, site: Any) -> dict[str, Any]:
        boundary = self.hunt.boundaries[site.pk]
        columns = self.with_photo_place(self._place(site), site, boundary)
        if not columns:
            return {}
        judged = judge_inside(boundary, columns["lon"], columns["lat"], columns["accuracy_m"] or 0)
        columns["placing"] = judged.verdict.value
        columns["placing_probability"] = judged.probability
        if judged.verdict is Verdict.OUTSIDE and not self.cleaned_data.get("outside_is_right"):
            self.add_error(
                "outside_is_right",
                _(
                    "This place is %(judged_distance_m)s m outside the boundary of %(site_code)s. Check "
                    "the reference or the site; if it is right, tick here and it is kept with a note."
                )
                % {"judged_distance_m": figure(f"{abs(judged.distance_m):,.0f}"), "site_code": site.code},
            )
        return columns

    def _place(self, site: Any) -> dict[str, Any]:
        """The place given, or for a new find that of the finder's own hole, which the page promises."""
        given = self.position_columns(site.country)
        if given or self.instance.pk or "position_text" in self.errors:
            return given
        return place_of_hole(self.cleaned_data.get("hole"), site, self.cleaned_data.get("finder"), by=self.by)

    def record_fields(self) -> dict[str, Any]:
        """The columns of the record, without what actions take separately."""
        fields = {name: self.cleaned_data[name] for name in self.Meta.fields}
        fields["facts"] = facts_after(
            self.instance.facts,
            self.cleaned_data["circumstances"],
            no_precious=self.cleaned_data["no_precious"],
        )
        columns: dict[str, Any] = self.cleaned_data.get("columns", {})
        return fields | self.weight_columns() | columns
