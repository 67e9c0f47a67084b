"""Forms of papers about an object: who passes it on or waives it, and a signature made on paper."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from permissions.forms.fields import DateField
from reports.settle_forms import SheetSendForm
from web.forms import OnceForm


class HandSignedForm(OnceForm):
    """A signature on the printed text."""

    name = forms.CharField(label=_lazy("Name as signed"), max_length=160)
    where_kept = forms.CharField(label=_lazy("Where that paper is kept"), max_length=48)


class TitleForm(OnceForm):
    """Who passes an object on or waives it, to whom, for what, and from when."""

    kind = forms.ChoiceField(
        label=_lazy("Paper"),
        widget=forms.RadioSelect,
        choices=[
            ("transfer", _lazy("Transfer of title")),
            ("disclaimer", _lazy("Disclaimer: somebody waives it")),
        ],
    )
    giver = forms.ChoiceField(label=_lazy("Given or waived by"))
    giver_name = forms.CharField(
        label=_lazy("Name, if somebody else"),
        max_length=160,
        required=False,
        help_text=_lazy("A museum, a buyer, an authority."),
    )
    receiver = forms.ChoiceField(label=_lazy("Received by, or in favour of"))
    receiver_name = forms.CharField(
        label=_lazy("Name of the receiver, if somebody else"), max_length=160, required=False
    )
    consideration = forms.CharField(
        label=_lazy("In return for"),
        max_length=300,
        help_text=_lazy("An amount, “by the settlement S2026-001”, or “nothing: a gift”."),
    )
    effective = DateField(label=_lazy("From"))
    by_state = forms.BooleanField(label=_lazy("The State or the Crown disclaims it"), required=False)
    authority = forms.CharField(
        label=_lazy("On what authority"),
        max_length=300,
        required=False,
        help_text=_lazy("For a disclaimer by the State: the letter, its day and its reference."),
    )
    days = SheetSendForm.base_fields["days"]

    def __init__(self, *args: Any, people: Sequence[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.people = dict(people)
        for name in ("giver", "receiver"):
            self.fields[name].choices = [*people, ("", _("somebody else"))]  # type: ignore[attr-defined]
            self.fields[name].required = False

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        for name in ("giver", "receiver"):
            if not values.get(name) and not values.get(f"{name}_name"):
                self.add_error(f"{name}_name", _("Choose somebody above, or give the name here."))
        names = [self.name_of(side) for side in ("giver", "receiver")]
        if names[0] and names[0] == names[1]:
            self.add_error("receiver", _("%(names)s is on both sides; choose another.") % {"names": names[0]})
        if values.get("by_state") and not values.get("authority"):
            self.add_error("authority", _("Say by which letter the State disclaimed it."))
        return values

    def name_of(self, side: str) -> str:
        chosen: str = self.cleaned_data.get(side) or ""
        return self.people.get(chosen) or self.cleaned_data.get(f"{side}_name") or ""

    def given(self) -> dict[str, Any]:
        """What the paper is made from, as plain values."""
        data = self.cleaned_data
        return {
            "kind": data["kind"],
            "giver": self.name_of("giver"),
            "receiver": self.name_of("receiver"),
            "consideration": data["consideration"],
            "effective": data["effective"].isoformat(),
            "by_state": data["by_state"],
            "authority": data["authority"],
        }
