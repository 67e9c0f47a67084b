"""The part of the find form that takes the weight, in any unit, and asks when grains were likely meant."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext as _n

from finds.coins import CoinFacts, grains_question
from finds.forms.ask import ask, ask_field
from finds.weights import Weight, WeightError, grains, read_weight
from tongue import figure

# From memory, common practice: the heaviest coins ever made, copper plates, weigh under 20 kg.
HEAVIEST_COIN_G = Decimal(20_000)
_MOST_G = Decimal(9_999_999)


class WeightField(forms.CharField):
    """Cleans to grams; `weight` keeps what was typed."""

    weight: Weight | None = None

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        try:
            self.weight = read_weight(text)
        except WeightError as error:
            raise forms.ValidationError(str(error)) from error
        self._check(text, self.weight)
        return self.weight.grams

    def _check(self, text: str, weight: Weight) -> None:
        typed = text if weight.unit else f"{text} g"
        if weight.number <= 0:
            raise forms.ValidationError(
                _("%(typed)s cannot be; leave the weight empty until it is weighed.") % {"typed": typed}
            )
        if weight.grams == 0:
            raise forms.ValidationError(
                _("%(typed)s is less than 0.01 g; leave the weight empty.") % {"typed": typed}
            )
        if weight.grams > _MOST_G:
            raise forms.ValidationError(
                _("%(typed)s is more than can be recorded here; look at the unit.") % {"typed": typed}
            )


class WeighingMixin(forms.Form):
    """Mixin for a find's form. Call `check_weight(facts)` from clean(), and take `weight_columns()` afterwards."""

    weight_g = WeightField(
        label=_lazy("Weight (g)"),
        required=False,
        max_length=30,
        help_text=_lazy("In grams, or with its unit: 22 grains, 0.05 oz."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    weight_unit = ask_field(_lazy("Grains or grams?"))
    converted = False

    def check_weight(self, facts: CoinFacts) -> None:
        """Ask about grains where a bare number is far too heavy for the coin; refuse what no coin weighs."""
        weight: Weight | None = self.fields["weight_g"].weight  # type: ignore[attr-defined]
        if self.cleaned_data.get("weight_g") is None or weight is None:
            return
        self.converted = bool(weight.words)
        self.cleaned_data["weight_as_typed"] = weight.words or self._kept_words(weight)
        is_coin = self.cleaned_data.get("is_coin")
        if is_coin == "yes" and weight.grams / facts.count > HEAVIEST_COIN_G:
            coins = _n("%(count)s coin", "%(count)s coins", facts.count) % {"count": facts.count}
            self.add_error(
                "weight_g",
                _(
                    "%(weight_number)s g for %(coins)s is more than any coin weighs. Give the weight in "
                    "grams, or say how many there are."
                )
                % {"weight_number": figure(f"{weight.number:f}"), "coins": coins},
            )
        elif not weight.unit and is_coin != "no":
            self._ask_grains(weight, facts, is_coin == "yes")

    def _kept_words(self, weight: Weight) -> str:
        """The words of a record whose weight was left as it was."""
        record = self.instance  # type: ignore[attr-defined]
        return record.weight_as_typed if record.pk and record.weight_g == weight.grams else ""

    def _ask_grains(self, weight: Weight, facts: CoinFacts, is_coin: bool) -> None:
        question = grains_question(facts, is_coin=is_coin)
        number = f"{weight.number:f}"
        choice = self.cleaned_data.get("weight_unit")
        if not question or choice == f"grams {number}":
            return
        as_grains = grains(weight.number)
        if choice == f"grains {number}":
            self.cleaned_data |= {"weight_g": as_grains.grams, "weight_as_typed": as_grains.words}
            self.converted = True
            return
        # The number is part of the answer, so that another number is asked about anew.
        choices = [
            (
                f"grains {number}",
                _("It was %(number)s grains, which is %(as_grains_grams)s g")
                % {"number": number, "as_grains_grams": as_grains.grams},
            ),
            (f"grams {number}", _("%(number)s g is right") % {"number": number}),
        ]
        ask(self, "weight_unit", question, choices)

    def weight_columns(self) -> dict[str, Any]:
        return {"weight_as_typed": self.cleaned_data.get("weight_as_typed", "")}

    def weight_notes(self) -> list[str]:
        """What to tell the person about a weight that was converted just now."""
        words, grams = self.cleaned_data.get("weight_as_typed"), self.cleaned_data.get("weight_g")
        return (
            [_("The weight of %(words)s was kept as %(grams)s g.") % {"words": words, "grams": grams}]
            if words and self.converted
            else []
        )
