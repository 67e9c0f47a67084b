"""Forms about people and the club."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.account_forms import RolesField
from people.languages import languages, own_choices
from people.laws import places
from people.models import Club, Insurance, Membership, User, account_at
from people.rights import ROLE_NAMES, Role
from web import days
from web.forms import BaseForm, BaseModelForm, OnceModelForm


class DateField(forms.DateField):
    """A day, with the browser's own picker where it has one."""

    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class PeriodFormMixin(forms.Form):
    """First and last day in order."""

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        starts, ends = self.cleaned_data.get("starts"), self.cleaned_data.get("ends")
        if starts and ends and ends < starts:
            self.add_error(
                "ends",
                _("The last day (%(ends)s) is before the first day (%(starts)s); give a later one.")
                % {"ends": date_format(ends, "j M Y"), "starts": date_format(starts, "j M Y")},
            )
        return values


class EmailMixin(forms.ModelForm):  # type: ignore[type-arg]
    """One address, one account, however it is written."""

    def clean_email(self) -> str:
        email: str = self.cleaned_data["email"].lower()
        other = account_at(email)
        if other is not None and other.pk != self.instance.pk:
            raise forms.ValidationError(
                _(
                    "%(email)s belongs to an account already; look it up among the people, or give "
                    "another address."
                )
                % {"email": email}
            )
        return email


class PersonForm(EmailMixin, BaseModelForm):
    class Meta:
        model = User
        fields = ["name", "email", "phone", "emergency_contact", "vehicle", "is_active"]
        labels = {"is_active": _lazy("May sign in")}


class NewPersonForm(PeriodFormMixin, EmailMixin, OnceModelForm):
    starts = DateField(label=_lazy("Member from"))
    ends = DateField(label=_lazy("Member until"))
    roles = RolesField(
        help_text=_lazy("None for a member. What a role opens is open as soon as the invitation is accepted.")
    )

    class Meta:
        model = User
        fields = ["name", "email", "phone", "emergency_contact", "vehicle"]


class OwnDetailsForm(BaseModelForm):
    language = forms.ChoiceField(
        label=_lazy("Language"),
        choices=own_choices,
        required=False,
        help_text=_lazy("Of your pages and letters."),
    )

    class Meta:
        model = User
        fields = ["name", "phone", "emergency_contact", "vehicle", "language", "wants_digest"]
        help_texts = {
            "wants_digest": (
                _lazy(
                    "Clocks that the law sets, and people still out on a hunt you run, are always sent: they are a "
                    "duty."
                )
            ),
            "emergency_contact": _lazy("Shown to the hunt's leader on the day only."),
            "vehicle": _lazy("Shown to the hunt's leader on the day only."),
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
        label=_lazy("Role"), choices=[(r.value, ROLE_NAMES[r]) for r in Role if r is not Role.MEMBER]
    )


class ClubForm(BaseModelForm):
    language = forms.ChoiceField(
        label=_lazy("Language"),
        choices=languages,
        required=False,
        help_text=_lazy("Of everybody who has chosen none of their own, and of what hangs out for all."),
    )
    date_format = forms.ChoiceField(
        label=_lazy("How days are written"),
        choices=days.choices,
        required=False,
        help_text=_lazy("On pages. Letters, papers and what is kept always name the month."),
    )
    jurisdiction = forms.ChoiceField(label=_lazy("Law that applies"), choices=places)

    class Meta:
        model = Club
        fields = [
            "name",
            "address",
            "jurisdiction",
            "language",
            "date_format",
            "units",
            "currency",
            "find_prefix",
            "emergency_department",
            "everybody_needs_two",
        ]
        help_texts = {
            "everybody_needs_two": _lazy(
                "A passkey, or an app that makes codes. Without this it is asked of the secretary and the committee. "
                "Who has none yet reaches only the pages that set one up, from the next page on: say so first."
            )
        }

    def clean_language(self) -> str:
        """A form that does not ask keeps what there is."""
        return str(self.cleaned_data["language"] or self.instance.language)

    def clean_date_format(self) -> str:
        return str(self.cleaned_data["date_format"] or self.instance.date_format)


def year_from(day: date) -> tuple[date, date]:
    """A year's membership starting on `day`: its first and last day."""
    is_leap_day = (day.month, day.day) == (2, 29)
    same_day = day + timedelta(366) if is_leap_day else day.replace(year=day.year + 1)
    return day, same_day - timedelta(1)
