"""Forms of settlement sheets: which finds, the shares and terms, sending, replacing, paying, and titles to objects."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.worth import MoneyField, PastDayMixin
from finds.models import Find, Sheet
from finds.sheets import terms_from
from hunts.models import Hunt
from people.models import User
from permissions.forms.fields import DateField
from permissions.models import Landholder
from permissions.terms import Per, Sharing, Threshold, Whole
from web.forms import BaseForm, OnceForm

HUNT, LANDHOLDER, CHOSEN = "hunt", "landholder", "chosen"


class SheetMakeForm(OnceForm):
    """Which finds are settled together: those of a hunt, of a landholder in some months, or chosen ones."""

    basis = forms.ChoiceField(
        label=_lazy("Settle"),
        widget=forms.RadioSelect,
        choices=[
            (HUNT, _lazy("the finds of one hunt")),
            (LANDHOLDER, _lazy("a landholder's finds of some time")),
            (CHOSEN, _lazy("finds that I name")),
        ],
    )
    hunt = forms.ModelChoiceField(queryset=Hunt.objects.none(), label=_lazy("Hunt"), required=False)
    landholder = forms.ModelChoiceField(
        queryset=Landholder.objects.none(), label=_lazy("Landholder"), required=False
    )
    first = DateField(label=_lazy("Hunts from"), required=False)
    last = DateField(label=_lazy("until"), required=False)
    numbers = forms.CharField(
        label=_lazy("Find numbers"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_lazy("One a line, or with commas between."),
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        hunts = Hunt.objects.visible_to(user).filter(finds__isnull=False).distinct()
        self.fields["hunt"].queryset = hunts.order_by("-on")  # type: ignore[attr-defined]
        self.fields["landholder"].queryset = Landholder.objects.visible_to(user)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or self.cleaned_data
        basis = values.get("basis")
        needed = {HUNT: ("hunt",), LANDHOLDER: ("landholder", "first", "last"), CHOSEN: ("numbers",)}
        for name in needed.get(str(basis), ()):
            if not values.get(name) and name not in self.errors:
                self.add_error(name, _("This is needed for what you chose above."))
        first, last = values.get("first"), values.get("last")
        if first and last and last < first:
            self.add_error(
                "last",
                _("%(last)s is before %(first)s; give a later day.")
                % {"last": date_format(last, "j M Y"), "first": date_format(first, "j M Y")},
            )
        if basis == CHOSEN and values.get("numbers"):
            values["finds"] = self._named(values["numbers"])
        return values

    def _named(self, text: str) -> list[Find]:
        wanted = list(dict.fromkeys(text.replace(",", " ").replace(";", " ").upper().split()))
        rows = Find.objects.visible_to(self.user).filter(number__in=wanted)
        found = {find.number: find for find in rows}
        if strange := [number for number in wanted if number not in found]:
            self.add_error(
                "numbers",
                _("No live find bears %(strange)s; correct or take away.") % {"strange": ", ".join(strange)},
            )
        return list(found.values())


class SheetForm(BaseForm):
    """The draft: each landholder's share, how opinions are joined, and the terms of the day."""

    way = forms.ChoiceField(
        label=_lazy("Several opinions of value become one by"),
        choices=[("mean", _lazy("their mean")), ("median", _lazy("their median"))],
    )
    waive_rest = forms.BooleanField(
        label=_lazy("Nobody asks anything for the finds that have no value yet"), required=False
    )
    landholder_percent = forms.DecimalField(label=_lazy("Landholder's share (%)"), min_value=0, max_value=100)
    organiser_percent = forms.DecimalField(
        label=_lazy("Organiser's part first (%)"), min_value=0, max_value=100
    )
    threshold = MoneyField(label=_lazy("Sharing starts at"), min_value=0)
    wording = forms.ChoiceField(
        label=_lazy("Threshold reads"),
        choices=[
            (Threshold.OVER.value, _lazy("more than that")),
            (Threshold.AT_LEAST.value, _lazy("that or more")),
        ],
    )
    rule = forms.ChoiceField(
        label=_lazy("What is shared"),
        choices=[
            (Whole.WHOLE_VALUE.value, _lazy("the whole value")),
            (Whole.EXCESS_ONLY.value, _lazy("only the part above")),
        ],
    )
    per = forms.ChoiceField(
        label=_lazy("Counted per"),
        choices=[
            (Per.OBJECT.value, _lazy("object")),
            (Per.GROUP.value, _lazy("same-find group")),
            (Per.HUNT.value, _lazy("hunt")),
        ],
    )
    terms_note = forms.CharField(
        label=_lazy("If these are not the terms on record for the day: where they are agreed"),
        max_length=300,
        required=False,
    )

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        terms = terms_from(sheet.terms)
        names = ("landholder_percent", "organiser_percent", "threshold", "wording", "rule", "per")
        initial = {name: getattr(terms, name) for name in names}
        initial |= {name: f"{initial[name]:f}" for name in names[:3]}
        super().__init__(
            *args, initial=initial | {"way": sheet.way, "terms_note": sheet.terms_note}, **kwargs
        )
        self.rows = list(sheet.shares.select_related("landholder"))
        for row in self.rows:
            self.fields[f"share_{row.landholder_id}"] = forms.DecimalField(
                label=_("%(landholder_name)s: part of the landholders' side (%%)")
                % {"landholder_name": row.landholder.name},
                min_value=0,
                max_value=100,
                decimal_places=4,
                initial=f"{row.percent.normalize():f}",
            )

    @property
    def shares(self) -> list[forms.BoundField]:
        return [self[f"share_{row.landholder_id}"] for row in self.rows]

    @property
    def agreed(self) -> list[forms.BoundField]:
        names = ("landholder_percent", "organiser_percent", "threshold", "wording", "rule", "per")
        return [self[name] for name in (*names, "terms_note")]

    def values(self) -> dict[str, Any]:
        """What `change_sheet` takes."""
        data = self.cleaned_data
        shares: dict[int, Decimal] = {r.landholder_id: data[f"share_{r.landholder_id}"] for r in self.rows}
        terms = Sharing(
            landholder_percent=data["landholder_percent"],
            threshold=data["threshold"],
            wording=Threshold(data["wording"]),
            rule=Whole(data["rule"]),
            per=Per(data["per"]),
            organiser_percent=data["organiser_percent"],
        )
        rest = {name: data[name] for name in ("way", "waive_rest", "terms_note")}
        return rest | {"shares": shares, "terms": terms}


class SheetSendForm(BaseForm):
    days = forms.IntegerField(
        label=_lazy("The addresses work for (days)"),
        initial=30,
        min_value=1,
        max_value=180,
        help_text=_lazy("1 to 180."),
    )


class ReasonForm(BaseForm):
    why = forms.CharField(label=_lazy("Why"), max_length=300)


class PaidForm(PastDayMixin, OnceForm):
    """A payment that is on the sheet, or a part of it."""

    which = forms.ChoiceField(label=_lazy("Payment"))
    amount = MoneyField(label=_lazy("Amount"))
    on = DateField(label=_lazy("Paid on"))
    how = forms.CharField(
        label=_lazy("How"), max_length=120, help_text=_lazy("Such as: bank transfer; cash against a receipt.")
    )

    def __init__(self, *args: Any, pairs: Sequence[tuple[str, str]], today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["which"].choices = pairs  # type: ignore[attr-defined]
