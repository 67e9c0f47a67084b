"""Say what a find is worth and what becomes of it."""

import re
from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.models import Find
from finds.models.settlement import FateWord
from finds.sheets import landholders_then
from permissions.forms.fields import DateField
from web.forms import OnceForm

THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+(\.\d*)?")


class MoneyField(forms.DecimalField):
    """An amount as people write it, with or without the currency's sign and commas between thousands."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(max_digits=12, **kwargs)

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = value.strip().lstrip("£€ ")
            if THOUSANDS.fullmatch(value):  # any other comma may be a decimal sign, so it is asked about
                value = value.replace(",", "")
        return super().to_python(value)


class PastDayMixin(forms.Form):
    """`on` is not a day to come."""

    today: date

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError(
                _("%(on)s is still to come; give today or an earlier day.") % {"on": date_format(on, "j M Y")}
            )
        return on


class ValuationForm(PastDayMixin, OnceForm):
    """One opinion. `corrects` is the row that it takes the place of."""

    corrects = forms.IntegerField(widget=forms.HiddenInput, required=False)
    on = DateField(label=_lazy("Valued on"))
    valuer = forms.CharField(label=_lazy("Who valued it"), max_length=120)
    method = forms.CharField(
        label=_lazy("How"),
        max_length=200,
        help_text=_lazy("Such as: seen in the hand; by photograph; compared with prices at auction."),
    )
    low = MoneyField(label=_lazy("Value from"))
    high = MoneyField(label=_lazy("to"), required=False, help_text=_lazy("Leave it empty for one figure."))
    why = forms.CharField(label=_lazy("Why the old one is corrected"), max_length=200, required=False)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        if not self["corrects"].value():
            del self.fields["why"]

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        if values.get("high") is None and "high" not in self.errors:
            values["high"] = values.get("low")
        return values


class FateForm(PastDayMixin, OnceForm):
    """What becomes of it, for how much, and with whom."""

    fate = forms.ChoiceField(label=_lazy("What becomes of it"), choices=FateWord.choices)
    on = DateField(label=_lazy("Since"))
    price = MoneyField(
        label=_lazy("Sold for"), required=False, help_text=_lazy("Fees already off. Only if it was sold.")
    )
    keeper = forms.ChoiceField(label=_lazy("Which landholder keeps it"), required=False)
    waived = forms.BooleanField(label=_lazy("Nobody asks anything for it"), required=False)
    words = forms.CharField(label=_lazy("What was said"), max_length=300, required=False)

    def __init__(self, *args: Any, find: Find, today: date, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "fate-%s")  # beside the form of a valuation
        super().__init__(*args, **kwargs)
        self.today = today
        people = landholders_then([find])
        self.people = {str(landholder.pk): landholder for landholder in people}
        choices = [("", "–"), *((key, str(one)) for key, one in self.people.items())]
        self.fields["keeper"].choices = choices  # type: ignore[attr-defined]

    def clean_keeper(self) -> Any:
        return self.people.get(self.cleaned_data["keeper"])
