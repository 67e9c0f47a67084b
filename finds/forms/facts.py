"""The law's questions about one find, each answered yes, no or not known."""

from dataclasses import fields
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.taken_back import TakenBackMixin
from law.facts import Assay, FactsError, FindFacts
from law.retold import retold
from law.tri import Tri
from law.words import QUESTIONS, WORDS
from permissions.models.site import LandStatus
from web.forms import BaseForm

TRI_FACTS = [f.name for f in fields(FindFacts) if f.default is Tri.UNKNOWN and f.name != "is_coin"]
ASSAYS = [
    ("", _lazy("Not measured")),
    (Assay.SURFACE.value, _lazy("Surface reading only")),
    (Assay.BULK.value, _lazy("Bulk assay")),
]
WORDED = {
    "exceptional_rarity": _lazy("Exceptional: how rare is the type?"),
    "exceptional_place": _lazy("Exceptional: what about the place?"),
    "exceptional_link": _lazy("Exceptional: which person or event?"),
}
SHIP_YEARS = {
    "vessel_lost_from": _lazy("Ship or aircraft: lost in this year or later"),
    "vessel_lost_to": _lazy("Ship or aircraft: lost in this year or earlier"),
}
ALWAYS = ("worked", "gold", "silver", "prehistoric", "same_find", "others_nearby", "container", "hidden")


class FactsForm(TakenBackMixin, BaseForm):
    """One select per question. `asked` are the facts that screening wants to know; they come first."""

    all_optional = True  # the page says so once

    def __init__(self, *args: Any, asked: list[str], stored: dict[str, Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stored = stored
        wanted = [*asked, *ALWAYS, *stored]
        names = [name for name in dict.fromkeys(wanted) if name in TRI_FACTS]
        for name in names:
            self.fields[name] = forms.ChoiceField(
                label=retold(WORDS[name][2]) if name in WORDS else name.replace("_", " ").capitalize() + "?",
                choices=[("unknown", _("Not known")), ("yes", _("Yes")), ("no", _("No"))],
                initial=stored.get(name, "unknown"),
                required=False,
            )
        self._add_others(set(wanted))
        self.fields["assay"] = forms.ChoiceField(
            label=_("How was the metal measured?"),
            choices=ASSAYS,
            initial=stored.get("assay", ""),
            required=False,
        )
        for name, label in WORDED.items():
            self.fields[name] = forms.CharField(
                label=label, initial=stored.get(name, ""), required=False, max_length=300
            )

    def _add_others(self, wanted: set[str]) -> None:
        """The questions that are not answered by yes or no, where a pack asks them."""
        if "land_status" in wanted:
            self.fields["land_status"] = forms.ChoiceField(
                label=retold(QUESTIONS["land_status"]),
                choices=LandStatus.choices,
                initial=self.stored.get("land_status", "unknown"),
                required=False,
            )
            self.order_fields(["land_status"])
        for name, label in SHIP_YEARS.items():
            if name in wanted:
                self.fields[name] = forms.IntegerField(
                    label=label,
                    help_text=_("A year BC is written with a minus, such as -44."),
                    initial=self.stored.get(name),
                    required=False,
                )

    def clean(self) -> dict[str, Any]:
        super().clean()
        try:
            FindFacts.from_dict(self.answers())
        except FactsError as error:
            raise forms.ValidationError(str(error)) from error
        return self.cleaned_data

    def answers(self) -> dict[str, Any]:
        """The answers as FindFacts.from_dict takes them; questions left open are left out, facts not asked stay."""
        unasked = {name: value for name, value in self.stored.items() if name not in self.fields}
        return unasked | {
            name: value
            for name, value in self.cleaned_data.items()
            if name in self.fields and name != "taken_back_why" and value not in {"", "unknown", None}
        }
