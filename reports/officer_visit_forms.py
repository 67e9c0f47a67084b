"""Forms about visits to the officer: plan one, say how it went, call it off."""

from collections.abc import Sequence
from typing import Any

from django import forms

from finds.forms.pairs import numbers_in
from finds.models import Find
from finds.models.custody import AUTHORITY
from people.models import Contact, User
from reports.models import OfficerVisitItem
from reports.officer_visit_page import Candidate
from web.forms import BaseForm, OnceForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class OfficerVisitForm(OnceForm):
    finds = forms.MultipleChoiceField(
        label="Finds under a running case", widget=forms.CheckboxSelectMultiple, required=False
    )
    numbers = forms.CharField(
        label="Other finds, by number",
        help_text="Separated by commas or spaces.",
        required=False,
        max_length=4000,
    )
    on = forms.DateField(label="Day of the visit", widget=DAY)
    contact = forms.ChoiceField(label="To whom", required=False)
    to_name = forms.CharField(label="Or another name", max_length=160, required=False)
    to_details = forms.CharField(label="How to reach them", max_length=200, required=False)
    to_holder = forms.ChoiceField(
        label="They are", choices=[(holder.value, holder.label) for holder in AUTHORITY]
    )
    place = forms.CharField(label="Where", max_length=160, required=False)
    taken_by = forms.CharField(label="Who takes them", max_length=160)
    purpose = forms.CharField(label="What for", max_length=160, initial="Recording and a look by the officer")
    due_back = forms.DateField(label="Due back", widget=DAY, required=False)

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
        self.fields["contact"].choices = [("", "Somebody else"), *known]  # type: ignore[attr-defined]
        self.fields["finds"].choices = [(str(row.find.pk), row.words) for row in candidates]  # type: ignore[attr-defined]
        self.fields["taken_by"].initial = user.name
        if not candidates:
            self.fields["finds"].help_text = "None waits: all are with an authority, or on another list."

    def clean_numbers(self) -> list[int]:
        typed = self.cleaned_data["numbers"]
        if not typed.strip():
            return []
        wanted = numbers_in(typed)
        found = dict(Find.objects.visible_to(self.user).filter(number__in=wanted).values_list("number", "pk"))
        if unknown := [number for number in wanted if number not in found]:
            raise forms.ValidationError(
                f"No find is called {', '.join(unknown)}; look at the numbers on the bags."
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
                "Say whom the finds go to: choose a contact of the club, or write a name."
            )
        if data.get("due_back") and data.get("on") and data["due_back"] < data["on"]:
            raise forms.ValidationError("They are due back before they are handed over; give a later day.")
        chosen = {int(pk) for pk in data.pop("finds", [])} | set(data.pop("numbers", None) or [])
        data["find_ids"] = sorted(chosen)
        return data


class WentForm(BaseForm):
    """How the visit went: evidence, and for each object its condition or why it was not handed over."""

    evidence = forms.CharField(
        label="What shows that they were received",
        help_text="For instance: receipts signed by the officer, kept in the finds folder.",
        max_length=200,
    )

    def __init__(self, *args: Any, items: Sequence[OfficerVisitItem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = items
        for item in items:
            number = item.find.number
            self.fields[f"condition-{item.find_id}"] = forms.CharField(
                label=f"{number}: condition when handed over",
                max_length=200,
                required=False,
                initial=item.condition,
            )
            self.fields[f"left-{item.find_id}"] = forms.CharField(
                label=f"{number}: not handed over, because",
                help_text="Leave this empty if the officer has it.",
                max_length=200,
                required=False,
            )

    def said(self, what: str) -> dict[int, str]:
        """What was written of each object under `condition` or `left`; empty texts are left out."""
        answers = {item.find_id: self.cleaned_data.get(f"{what}-{item.find_id}", "") for item in self.items}
        return {pk: words.strip() for pk, words in answers.items() if words.strip()}


class CallOffForm(BaseForm):
    why = forms.CharField(label="Why it does not take place", max_length=300)
