"""The part of the find form that takes the weight, in any unit, and asks when grains were likely meant."""

from decimal import Decimal
from typing import Any

from django import forms

from finds.coins import CoinFacts, grains_question
from finds.forms.ask import ask, ask_field
from finds.weights import Weight, WeightError, grains, read_weight

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
            raise forms.ValidationError(f"{typed} cannot be; leave the weight empty until it is weighed.")
        if weight.grams == 0:
            raise forms.ValidationError(f"{typed} is less than 0.01 g; leave the weight empty.")
        if weight.grams > _MOST_G:
            raise forms.ValidationError(f"{typed} is more than can be recorded here; look at the unit.")


class WeighingMixin(forms.Form):
    """Mixin for a find's form. Call `check_weight(facts)` from clean(), and take `weight_columns()` afterwards."""

    weight_g = WeightField(
        label="Weight (g)",
        required=False,
        max_length=30,
        help_text="In grams, or with its unit: 22 grains, 0.05 oz.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    weight_unit = ask_field("Grains or grams?")
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
            coins = f"{facts.count} coin{'s' if facts.count > 1 else ''}"
            self.add_error(
                "weight_g",
                f"{weight.number:f} g for {coins} is more than any coin weighs. "
                "Give the weight in grams, or say how many there are.",
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
            (f"grains {number}", f"It was {number} grains, which is {as_grains.grams} g"),
            (f"grams {number}", f"{number} g is right"),
        ]
        ask(self, "weight_unit", question, choices)

    def weight_columns(self) -> dict[str, Any]:
        return {"weight_as_typed": self.cleaned_data.get("weight_as_typed", "")}

    def weight_notes(self) -> list[str]:
        """What to tell the person about a weight that was converted just now."""
        words, grams = self.cleaned_data.get("weight_as_typed"), self.cleaned_data.get("weight_g")
        return [f"The weight of {words} was kept as {grams} g."] if words and self.converted else []
