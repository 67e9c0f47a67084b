"""Forms of a permission: its sites, dates and terms, and its moves."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from permissions.forms.fields import DateField, InOrderMixin, TimeField
from permissions.models import Permission, Site
from permissions.states import State
from web.form_parts import PartsMixin
from web.forms import BaseForm, BaseModelForm

MOVE_WORDS = {
    State.ASKED: _lazy("Ask for it"),
    State.GRANTED: _lazy("Granted"),
    State.PAUSED: _lazy("Pause"),
    State.ENDED: _lazy("End"),
    State.REFUSED: _lazy("Refused"),
}


FIRST = ("reference", "title", "sites", "starts", "ends", "weekdays", "hours_from", "hours_to")
FOLDS = (
    (_lazy("Who may come"), (
        "max_heads", "named_only", "named_people", "guests_allowed", "juniors_allowed", "minimum_age",
    )),
    (_lazy("Before and during a visit"), (
        "notice_hours", "notice_to", "max_vehicles", "vehicles", "dogs_allowed", "livestock_rule", "livestock",
        "depth_limit_cm",
    )),
    (_lazy("Money and finds"), (
        "fee_per_head", "share_percent", "share_threshold", "share_wording", "share_rule", "share_unit",
        "organiser_percent",
    )),
    (_lazy("What may be told"), ("findspots_to_landholder", "photographs", "publicity")),
    (_lazy("Cover, ending and the rest"), ("insurance_floor", "ending_notice_days", "other_terms", "notes")),
)  # fmt: skip


class PermissionForm(InOrderMixin, PartsMixin, BaseModelForm):
    """Everything agreed. An empty limit means that the agreement sets none."""

    FOLDS = FOLDS
    OPEN_TITLE = _lazy("Which ground, and when")

    client_id = forms.UUIDField(widget=forms.HiddenInput, required=False)
    weekdays = forms.TypedMultipleChoiceField(
        label=_lazy("Days of the week"),
        choices=list(WEEKDAYS.items()),
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_lazy("None ticked means any day."),
    )

    class Meta:
        model = Permission
        fields = [*FIRST, *(name for _title, names in FOLDS for name in names)]
        field_classes = {
            "starts": DateField,
            "ends": DateField,
            "hours_from": TimeField,
            "hours_to": TimeField,
        }
        labels = {
            "sites": _lazy("Sites"),
            "named_people": _lazy("Who is named"),
            "notes": _lazy("Notes for the club"),
        }
        widgets = {
            "sites": forms.CheckboxSelectMultiple,
            "named_people": forms.CheckboxSelectMultiple,
            "other_terms": forms.Textarea(attrs={"rows": 3}),
            "notes": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "max_heads": _lazy("Leave empty if the agreement sets no limit."),
            "named_people": _lazy("Only used where the agreement names people."),
            "notice_to": _lazy("Whom to ring, in the landholder's own words."),
            "organiser_percent": _lazy(
                "Leave it at 0 if the club takes nothing; it must stand in the agreement."
            ),
            "insurance_floor": _lazy("In whole units of the club's currency, such as 10000000."),
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        self.fields["client_id"].initial = uuid4
        self.fields["organiser_percent"].required = False
        sites = Site.objects.visible_to(user)
        covered = sites.filter(permissions=self.instance.pk) if self.instance.pk else sites.none()
        choice = (
            sites.current() | covered
        ).distinct()  # a retired site stays in an agreement that is changed
        self.fields["sites"].queryset = choice.defer("boundary")  # type: ignore[attr-defined]
        self.fields["named_people"].queryset = User.objects.visible_to(user)  # type: ignore[attr-defined]

    def clean_client_id(self) -> Any:
        return self.cleaned_data.get("client_id") or uuid4()

    def clean_organiser_percent(self) -> Decimal:
        """Nothing said is nothing taken."""
        percent: Decimal | None = self.cleaned_data["organiser_percent"]
        return Decimal(0) if percent is None else percent

    def clean_reference(self) -> str:
        reference: str = self.cleaned_data["reference"].strip()
        others = (
            Permission.objects.visible_to(self.user)
            .filter(reference__iexact=reference)
            .exclude(pk=self.instance.pk)
        )
        other = others.exclude(client_id=_key_of(self)).first()
        if other is not None:
            raise forms.ValidationError(
                _("“%(reference)s” is the reference of %(other_title)s already; choose another.")
                % {"reference": reference, "other_title": other.title}
            )
        return reference

    def validate_unique(self) -> None:
        """`clean_reference` says it better, and lets the same form be sent twice."""

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        start, end = self.cleaned_data.get("hours_from"), self.cleaned_data.get("hours_to")
        if start and end and end <= start:
            words = _(
                "“Not after” (%(end)s) must be later than “Not before” (%(start)s); correct one of them."
            ) % {"end": f"{end:%H:%M}", "start": f"{start:%H:%M}"}
            self.add_error("hours_to", words)
        if self.cleaned_data.get("named_only") and not self.cleaned_data.get("named_people"):
            self.add_error(
                "named_people", _("Name at least one person, or untick “Only people named in the agreement”.")
            )
        return values


def _key_of(form: forms.BaseForm) -> Any:
    try:
        return form.fields["client_id"].clean(form.data.get("client_id"))
    except forms.ValidationError:
        return None


class MoveForm(BaseForm):
    """Where a permission goes next, and why."""

    to = forms.ChoiceField(
        choices=[(s.value, words) for s, words in MOVE_WORDS.items()], widget=forms.HiddenInput
    )
    why = forms.CharField(label=_lazy("Why, and who said so"), max_length=300, required=False)

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        if self.cleaned_data.get("to") in {
            State.PAUSED,
            State.ENDED,
            State.REFUSED,
        } and not self.cleaned_data.get("why"):
            self.add_error(
                "why", _("Say why, and who said so: the people who planned a hunt there will ask.")
            )
        return values
