"""Forms about people and the club."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm

from people.models import Club, Contact, Insurance, Membership, User
from people.rights import Role
from web.forms import BaseForm, BaseModelForm


class DateField(forms.DateField):
    """A day, with the browser's own picker where it has one."""

    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class SignInForm(AuthenticationForm):
    """E-mail and password, asked for in plain words."""

    error_messages = {
        "invalid_login": (
            "That e-mail address and password do not go together. Check both; capital letters count in the password."
        ),
        "inactive": "This account is switched off. Please ask the club's secretary.",
    }


class PeriodFormMixin(forms.Form):
    """First and last day in order."""

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        starts, ends = self.cleaned_data.get("starts"), self.cleaned_data.get("ends")
        if starts and ends and ends < starts:
            self.add_error(
                "ends",
                f"The last day ({ends:%-d %b %Y}) is before the first day ({starts:%-d %b %Y}); give a later one.",
            )
        return values


class PersonForm(BaseModelForm):
    class Meta:
        model = User
        fields = ["name", "email", "phone", "emergency_contact", "vehicle", "is_active"]
        labels = {"is_active": "May sign in"}


class NewPersonForm(PeriodFormMixin, BaseModelForm):
    starts = DateField(label="Member from")
    ends = DateField(label="Member until")

    class Meta:
        model = User
        fields = ["name", "email", "phone", "emergency_contact", "vehicle"]


class OwnDetailsForm(BaseModelForm):
    class Meta:
        model = User
        fields = ["name", "phone", "emergency_contact", "vehicle"]
        help_texts = {
            "emergency_contact": "Shown to the hunt's leader on the day only.",
            "vehicle": "Shown to the hunt's leader on the day only.",
        }


class MembershipForm(PeriodFormMixin, BaseModelForm):
    class Meta:
        model = Membership
        fields = ["starts", "ends"]
        field_classes = {"starts": DateField, "ends": DateField}


class InsuranceForm(PeriodFormMixin, BaseModelForm):
    class Meta:
        model = Insurance
        fields = ["insurer", "policy_number", "cover_pounds", "starts", "ends"]
        field_classes = {"starts": DateField, "ends": DateField}


class RoleForm(BaseForm):
    role = forms.ChoiceField(
        label="Role", choices=[(r.value, r.value.capitalize()) for r in Role if r is not Role.MEMBER]
    )


class ClubForm(BaseModelForm):
    class Meta:
        model = Club
        fields = [
            "name",
            "address",
            "jurisdiction",
            "units",
            "currency",
            "find_prefix",
            "emergency_department",
        ]


class ContactForm(BaseModelForm):
    class Meta:
        model = Contact
        fields = ["kind", "name", "phone", "email", "hours", "jurisdiction"]


def year_from(day: date) -> tuple[date, date]:
    """A year's membership starting on `day`: its first and last day."""
    return day, day.replace(year=day.year + 1) - timedelta(1) if (day.month, day.day) != (
        2,
        29,
    ) else day + timedelta(365)
