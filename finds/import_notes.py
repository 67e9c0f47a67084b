"""What is worth a look in a row and stops nothing: converted weights, coins that do not fit how such were struck."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from finds.coins import CoinFacts, coin_notes, grains_question
from finds.import_dating import period_notes


def notes_of(fields: Mapping[str, Any], materials: Mapping[tuple[str, str], Decimal | None]) -> list[str]:
    """Sentences about one good row."""
    notes = []
    if typed := fields.get("weight_as_typed"):
        notes.append(_("%(typed)s is kept as %(fields)s g.") % {"typed": typed, "fields": fields["weight_g"]})
    notes += [
        _(
            "“%(words)s” is not a listed material; it is kept in words, and the law takes it as unknown "
            "whether it is metal."
        )
        % {"words": words}
        for name, words in materials
        if name == "other" and words
    ]
    notes += period_notes(fields)
    coin = _coin(fields, materials)
    if question := grains_question(coin, is_coin=fields.get("is_coin") == "yes"):
        notes.append(question)
    return [*notes, *coin_notes(coin)]


def _coin(fields: Mapping[str, Any], materials: Mapping[tuple[str, str], Decimal | None]) -> CoinFacts:
    return CoinFacts(
        name=fields.get("object_type", ""),
        first=fields.get("year_from"),
        last=fields.get("year_to"),
        weight_g=fields.get("weight_g"),
        count=fields.get("count", 1),
        diameter_mm=fields.get("diameter_mm"),
        silver_percent=materials.get(("silver", "")),
        metals=frozenset(name for name, _rest in materials),
        completeness=fields.get("completeness", ""),
    )
