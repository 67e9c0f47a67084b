"""Forms of custody: a hand-over recorded, proposed, signed or ended, a loss, and storage boxes."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.pairs import numbers_in
from finds.models import Box, ConditionPhoto, CustodyEntry, Find, HandOverItem
from finds.models.custody import NOBODY, Holder
from finds.models.hand_over import Capacity, Side
from web.forms import BaseForm, OnceForm
from web.photo_field import PhotosField
from web.sign_form import SignForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
LINES = forms.Textarea(attrs={"rows": 3})
SOMEBODY = [(value, label) for value, label in Holder.choices if value not in NOBODY]
UNCOLLECTED = _lazy("We write to the owner; nothing is given away without the owner's word in writing.")


class CustodyForm(BaseForm):
    """A hand-over that took place and is written down by whoever may."""

    after_step = forms.IntegerField(widget=forms.HiddenInput)
    to_holder = forms.ChoiceField(label=_lazy("Handed to"), choices=SOMEBODY)
    to_name = forms.CharField(label=_lazy("Name"), max_length=160)
    purpose = forms.CharField(label=_lazy("Purpose"), max_length=160)
    due_back = forms.DateField(label=_lazy("Due back"), widget=DAY, required=False)
    condition = forms.CharField(label=_lazy("Condition"), max_length=200, required=False)
    evidence = forms.CharField(
        label=_lazy("What shows it"),
        max_length=200,
        required=False,
        help_text=_lazy(
            "For instance a receipt and its date. To have it signed by both, propose a hand-over instead."
        ),
    )
    words = forms.CharField(
        label=_lazy("How it came out of there"),
        max_length=500,
        required=False,
        help_text=_lazy(
            "Only for what was lost, reburied or sold: where it was found again, or why it came back."
        ),
    )


class HandOverForm(OnceForm):
    """Everything that the receipt will say. One field for the condition of each object named."""

    numbers = forms.CharField(
        label=_lazy("Find numbers"), help_text=_lazy("Separated by commas or spaces."), max_length=4000
    )
    to_holder = forms.ChoiceField(label=_lazy("Handed to"), choices=SOMEBODY)
    to_name = forms.CharField(label=_lazy("Name of the receiver"), max_length=160)
    to_details = forms.CharField(label=_lazy("How to reach them"), max_length=200, required=False)
    capacity = forms.ChoiceField(
        label=_lazy("Handed over"), choices=Capacity.choices, initial=Capacity.FINDER
    )
    owner = forms.CharField(label=_lazy("Owner, as far as known"), max_length=160, required=False)
    purpose = forms.CharField(label=_lazy("What for"), max_length=160)
    terms = forms.CharField(label=_lazy("Terms agreed"), max_length=2000, required=False, widget=LINES)
    location = forms.CharField(label=_lazy("Where it will be kept"), max_length=160, required=False)
    due_back = forms.DateField(label=_lazy("Due back"), widget=DAY, required=False)
    uncollected = forms.CharField(
        label=_lazy("If it is not collected"), max_length=200, required=False, initial=UNCOLLECTED
    )
    why = forms.CharField(
        label=_lazy("How an object came out of its last place"),
        max_length=300,
        required=False,
        help_text=_lazy("Only for what was lost, reburied or sold."),
    )

    def __init__(self, *args: Any, finds: Sequence[Find], today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.conditions = {find.pk: f"condition_{find.pk}" for find in finds}
        for find in finds:
            self.fields[self.conditions[find.pk]] = forms.CharField(
                label=_("Condition of %(find_number)s %(find_object_type)s")
                % {"find_number": find.number, "find_object_type": find.object_type},
                max_length=200,
                required=False,
                initial=find.condition,
            )

    def clean_numbers(self) -> list[str]:
        return numbers_in(self.cleaned_data["numbers"])

    def clean_due_back(self) -> date | None:
        day: date | None = self.cleaned_data["due_back"]
        if day is not None and day < self.today:
            raise forms.ValidationError(
                _("%(day)s is past; give the day when it is to come back.")
                % {"day": date_format(day, "j M Y")}
            )
        return day

    def details(self) -> dict[str, Any]:
        """What the action takes besides the objects."""
        skipped = {"numbers", *self.conditions.values()}
        said = {name: value for name, value in self.cleaned_data.items() if name not in skipped}
        conditions = {pk: self.cleaned_data.get(name, "") for pk, name in self.conditions.items()}
        return said | {"conditions": conditions}


class GiveForm(SignForm):
    """The giver's signature."""


class ReceiveForm(SignForm):
    """The receiver's signature, with what was not there and how each object looked."""

    missing_words = forms.CharField(
        label=_lazy("What is missing or not right"), max_length=300, required=False, widget=LINES
    )

    def __init__(self, *args: Any, items: Sequence[HandOverItem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = items
        names = [(str(item.pk), str(item.find)) for item in items]
        self.fields["missing"] = forms.MultipleChoiceField(
            label=_("Tick what you did not receive"),
            choices=names,
            required=False,
            widget=forms.CheckboxSelectMultiple,
        )
        for item in items:
            self.fields[f"condition_{item.pk}"] = forms.CharField(
                label=_("Condition of %(find_number)s, if it differs") % {"find_number": item.find.number},
                max_length=200,
                required=False,
            )
        last = ["missing", "missing_words", *(f"condition_{item.pk}" for item in items)]
        self.order_fields([*last, *(name for name in self.fields if name not in last)])

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if values.get("missing") and not values.get("missing_words", "").strip():
            self.add_error(
                "missing_words", _("Say what is missing or not right, so that the club can put it right.")
            )
        return values

    def received(self) -> dict[str, Any]:
        """`conditions` and `missing` by item, as the action takes them."""
        values = self.cleaned_data
        missing = {int(pk): values["missing_words"] for pk in values["missing"]}
        return {
            "conditions": {item.pk: values[f"condition_{item.pk}"] for item in self.items},
            "missing": missing,
        }


class WhyForm(BaseForm):
    why = forms.CharField(
        label=_lazy("Why"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": _lazy("Say in a few words why; the other side reads it.")},
    )


class EvidenceForm(BaseForm):
    evidence = forms.CharField(
        label=_lazy("What shows that it was received"),
        max_length=200,
        error_messages={
            "required": _lazy("Say what shows it, for instance the officer's receipt and its date.")
        },
    )


class AddressForm(OnceForm):
    side = forms.ChoiceField(label=_lazy("For"), choices=Side.choices, initial=Side.RECEIVER)
    days = forms.IntegerField(
        label=_lazy("The address works for (days)"),
        initial=30,
        min_value=1,
        max_value=180,
        help_text=_lazy("1 to 180."),
    )


class AnswerForm(BaseForm):
    words = forms.CharField(
        label=_lazy("What was done"), max_length=300, widget=forms.Textarea(attrs={"rows": 2})
    )


class ConditionPhotosForm(BaseForm):
    stage = forms.ChoiceField(label=_lazy("Taken"), choices=ConditionPhoto.Stage.choices)
    photos = PhotosField(label=_lazy("Photographs"))


class LossForm(BaseForm):
    after_step = forms.IntegerField(widget=forms.HiddenInput)
    what = forms.ChoiceField(label=_lazy("What happened"), choices=[(h.value, h.label) for h in NOBODY])
    happened_on = forms.DateField(label=_lazy("When, as far as known"), widget=DAY)
    words = forms.CharField(
        label=_lazy("Circumstances: who had it, where it was missed"), max_length=2000, widget=LINES
    )
    reported_to = forms.CharField(
        label=_lazy("Reported to"),
        max_length=200,
        required=False,
        help_text=_lazy("Owner, heritage officer, police or insurer, with the date and their number."),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_happened_on(self) -> date:
        day: date = self.cleaned_data["happened_on"]
        if day > self.today:
            raise forms.ValidationError(
                _("%(day)s has not come yet; give the day when it happened.")
                % {"day": date_format(day, "j M Y")}
            )
        return day


class WhereForm(forms.Form):
    """Which objects, on the page that says where everything is. Nothing asked is everything."""

    holder = forms.ChoiceField(
        label=_lazy("With"),
        choices=[
            ("", _lazy("Anybody")),
            ("authority", _lazy("Officer, museum or conservator")),
            *Holder.choices,
        ],
        required=False,
    )
    overdue = forms.BooleanField(label=_lazy("Overdue only"), required=False)
    box = forms.ModelChoiceField(
        label=_lazy("In box"), queryset=Box.objects.all(), required=False, empty_label=_lazy("Any place")
    )
    q = forms.CharField(label=_lazy("Number, object or name"), max_length=80, required=False)


def ledger_form(ledger: Sequence[CustodyEntry]) -> CustodyForm:
    """The form under a ledger, which remembers the step that was on the page."""
    return CustodyForm(initial={"after_step": ledger[-1].step if ledger else 0})
