"""Weights as people type them: in grams, grains, pennyweights or ounces, turned into grams and said. Pure."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from tongue import say as _

GRAIN_G = Decimal("0.06479891")
"""One grain. Source: International yard and pound agreement 1959: 1 lb = 0.45359237 kg exactly, of 7000 grains."""
_UNITS: dict[str, tuple[str, Decimal]] = {
    "gram": ("g", Decimal(1)),
    "milligram": ("mg", Decimal("0.001")),
    "kilogram": ("kg", Decimal(1000)),
    "grain": ("grains", GRAIN_G),
    "pennyweight": ("pennyweights", 24 * GRAIN_G),
    "ounce": ("ounces (avoirdupois)", Decimal("28.349523125")),
    "troy ounce": ("troy ounces", 480 * GRAIN_G),
}
"""Unit: its name in words, grams in one. An ounce is 437.5 grains, a troy ounce 480, a pennyweight 24."""
_SPELLINGS: dict[str, str] = {
    **dict.fromkeys(("g", "gm", "gms", "gram", "grams", "gramme", "grammes"), "gram"),
    **dict.fromkeys(("mg", "milligram", "milligrams"), "milligram"),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), "kilogram"),
    **dict.fromkeys(("gr", "grs", "grn", "grain", "grains"), "grain"),
    **dict.fromkeys(("dwt", "dwts", "pennyweight", "pennyweights"), "pennyweight"),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), "ounce"),
    **dict.fromkeys(("ozt", "oz t", "troy oz", "troy ounce", "troy ounces", "oz troy"), "troy ounce"),
}
_TYPED = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*([a-z ]*?)\s*\.?")
_CENT = Decimal("0.01")


class WeightError(ValueError):
    """What was typed is no weight; the sentence names it and what to give instead."""


@dataclass(frozen=True, slots=True)
class Weight:
    """Grams to 0.01, the number and unit as typed; `unit` is empty where only a number was given."""

    grams: Decimal
    number: Decimal
    unit: str

    @property
    def words(self) -> str:
        """How it was typed, where that was not in grams: '22 grains'; else empty."""
        return "" if self.unit in ("", "gram") else f"{self.number.normalize():f} {_UNITS[self.unit][0]}"


def read_weight(text: str) -> Weight:
    """The weight in `text`; a bare number is grams. Raises WeightError."""
    tidy = " ".join(text.lower().split())
    match = _TYPED.fullmatch(tidy)
    if match is None:
        raise WeightError(
            _("“%(text)s” is not a weight; give a number of grams, or a unit with it such as 22 grains.")
            % {"text": text}
        )
    spelt = match[2].strip()
    unit = _SPELLINGS.get(spelt, "") if spelt else "gram"
    if not unit:
        raise WeightError(
            _("“%(spelt)s” is not a unit known here; use g, mg, kg, grains, dwt, oz or troy oz.")
            % {"spelt": spelt}
        )
    try:
        number = Decimal(match[1].replace(",", "."))
    except InvalidOperation as error:
        raise WeightError(_("“%(match)s” is not a number.") % {"match": match[1]}) from error
    return Weight(_grams(number * _UNITS[unit][1]), number, unit if spelt else "")


def grains(number: Decimal) -> Weight:
    """So many grains as a Weight."""
    return Weight(_grams(number * GRAIN_G), number, "grain")


def _grams(exact: Decimal) -> Decimal:
    return exact.quantize(_CENT, rounding=ROUND_HALF_UP)
