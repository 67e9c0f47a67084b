"""Forms of the visit report's draft and of thanks."""

from datetime import date
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import Hunt
from reports.models import VisitDraft
from web.forms import BaseForm, OnceForm

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


def _lines(label: "StrOrPromise", help_text: "StrOrPromise", rows: int = 2) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows})
    return forms.CharField(label=label, help_text=help_text, max_length=4000, required=False, widget=widget)


class VisitDraftForm(BaseForm):
    """The leader's own words in the visit report; all else comes from the records."""

    leader_report = _lines(
        _lazy("Your paragraph"),
        _lazy("What the day was like, in plain words. It stands at the top of the report."),
        5,
    )
    noticed = _lines(_lazy("Gates, stock, fences and strangers"), _lazy("Empty: “Nothing was noted.”"))
    damage = _lines(
        _lazy("Damage"), _lazy("What, where, and whether they were told. Empty: “None is known to us.”")
    )
    decide = _lines(
        _lazy("For the landholder to decide"),
        _lazy("One matter a line; valued finds are listed by themselves."),
    )
    next_dates = forms.CharField(
        label=_lazy("Dates you ask for next"),
        max_length=300,
        required=False,
        help_text=_lazy("For example: 6 or 13 December."),
    )
    name_people = forms.BooleanField(
        label=_lazy("Name the people who came"),
        required=False,
        help_text=_lazy("Without the tick only their number is given. Juniors are never named."),
    )

    def __init__(self, *args: Any, hunt: Hunt, draft: VisitDraft | None, **kwargs: Any) -> None:
        held = draft or VisitDraft(hunt=hunt)
        own = {name: getattr(hunt, name) for name in ("leader_report", "noticed", "damage")}
        more = {name: getattr(held, name) for name in ("decide", "next_dates", "name_people")}
        super().__init__(*args, initial=own | more, **kwargs)
        if hunt.permission is not None and hunt.permission.named_only:
            del self.fields["name_people"]


class ThanksForm(OnceForm):
    """With what, and when."""

    how = forms.CharField(
        label=_lazy("With what"),
        max_length=200,
        help_text=_lazy("For example: a card and a bottle of sloe gin."),
        error_messages={
            "required": _lazy("Say with what they were thanked, so that next year's gift is another one.")
        },
    )
    on = forms.DateField(label=_lazy("On"), widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["on"].initial = today

    def clean_on(self) -> date:
        day: date = self.cleaned_data["on"]
        if day > self.today:
            raise forms.ValidationError(
                _("%(day)s has not come yet; give the day on which it was done.")
                % {"day": date_format(day, "j M Y")}
            )
        return day
