"""Forms about visits to the officer: plan one, say how it went, call it off."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.pairs import numbers_in
from finds.models import Find
from finds.models.custody import AUTHORITY
from people.models import Contact, User
from reports.models import OfficerVisitItem
from reports.officer_visit_page import Candidate
from web.form_parts import PartsMixin
from web.forms import BaseForm, OnceForm

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class OfficerVisitForm(OnceForm):
    finds = forms.MultipleChoiceField(
        label=_lazy("Finds under a running case"), widget=forms.CheckboxSelectMultiple, required=False
    )
    numbers = forms.CharField(
        label=_lazy("Other finds, by number"),
        help_text=_lazy("Separated by commas or spaces."),
        required=False,
        max_length=4000,
    )
    on = forms.DateField(label=_lazy("Day of the visit"), widget=DAY)
    contact = forms.ChoiceField(label=_lazy("To whom"), required=False)
    to_name = forms.CharField(label=_lazy("Or another name"), max_length=160, required=False)
    to_details = forms.CharField(label=_lazy("How to reach them"), max_length=200, required=False)
    to_holder = forms.ChoiceField(
        label=_lazy("They are"), choices=[(holder.value, holder.label) for holder in AUTHORITY]
    )
    place = forms.CharField(label=_lazy("Where"), max_length=160, required=False)
    taken_by = forms.CharField(label=_lazy("Who takes them"), max_length=160)
    purpose = forms.CharField(
        label=_lazy("What for"), max_length=160, initial=_lazy("Recording and a look by the officer")
    )
    due_back = forms.DateField(label=_lazy("Due back"), widget=DAY, required=False)

    def __init__(
        self,
        *args: Any,
        candidates: Sequence[Candidate],
        contacts: Sequence[Contact],
        user: User,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        self.contacts = {str(each.pk): each for each in contacts}
        known = [(key, f"{each.get_kind_display()}: {each.name}") for key, each in self.contacts.items()]
        self.fields["contact"].choices = [("", _("Somebody else")), *known]  # type: ignore[attr-defined]
        self.fields["finds"].choices = [(str(row.find.pk), row.words) for row in candidates]  # type: ignore[attr-defined]
        self.fields["taken_by"].initial = user.name
        if not candidates:
            self.fields["finds"].help_text = _("None waits: all are with an authority, or on another list.")

    def clean_numbers(self) -> list[int]:
        typed = self.cleaned_data["numbers"]
        if not typed.strip():
            return []
        wanted = numbers_in(typed)
        found = dict(Find.objects.visible_to(self.user).filter(number__in=wanted).values_list("number", "pk"))
        if unknown := [number for number in wanted if number not in found]:
            raise forms.ValidationError(
                _("No find is called %(unknown)s; look at the numbers on the bags.")
                % {"unknown": ", ".join(unknown)}
            )
        return list(found.values())

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        contact = self.contacts.get(data.pop("contact", "") or "")
        if contact is not None and not data.get("to_name"):
            data["to_name"] = contact.name
            data["to_details"] = data.get("to_details") or contact.phone or contact.email
        if not data.get("to_name"):
            raise forms.ValidationError(
                _("Say whom the finds go to: choose a contact of the club, or write a name.")
            )
        if data.get("due_back") and data.get("on") and data["due_back"] < data["on"]:
            raise forms.ValidationError(_("They are due back before they are handed over; give a later day."))
        chosen = {int(pk) for pk in data.pop("finds", [])} | set(data.pop("numbers", None) or [])
        data["find_ids"] = sorted(chosen)
        return data


class WentForm(PartsMixin, BaseForm):
    """How the visit went: evidence, and for each object its condition or why it was not handed over."""

    evidence = forms.CharField(
        label=_lazy("What shows that they were received"),
        help_text=_lazy("For instance: receipts signed by the officer, kept in the finds folder."),
        max_length=200,
    )

    def __init__(self, *args: Any, items: Sequence[OfficerVisitItem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = items
        for item in items:
            number = item.find.number
            self.fields[f"condition-{item.find_id}"] = forms.CharField(
                label=_("%(number)s: condition when handed over") % {"number": number},
                max_length=200,
                required=False,
                initial=item.condition,
            )
            self.fields[f"left-{item.find_id}"] = forms.CharField(
                label=_("%(number)s: not handed over, because") % {"number": number},
                help_text=_("Leave this empty if the officer has it."),
                max_length=200,
                required=False,
            )

    def folds(self) -> Sequence[tuple["StrOrPromise", Sequence[str]]]:
        """One for each object: most go over as they are listed."""
        return [
            (f"{each.find}: {each.condition or '–'}", (f"condition-{each.find_id}", f"left-{each.find_id}"))
            for each in self.items
        ]

    def said(self, what: str) -> dict[int, str]:
        """What was written of each object under `condition` or `left`; empty texts are left out."""
        answers = {item.find_id: self.cleaned_data.get(f"{what}-{item.find_id}", "") for item in self.items}
        return {pk: words.strip() for pk, words in answers.items() if words.strip()}


class CallOffForm(BaseForm):
    why = forms.CharField(label=_lazy("Why it does not take place"), max_length=300)
