"""What the checks of coins want to know, out of a record or the form about one."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from finds.coins import CoinFacts, coin_notes
from finds.models import Find
from finds.models.find import Material, Tri
from finds.periods import scheme_for


def facts_from(
    values: Mapping[str, Any], materials: Mapping[str, Decimal | None], jurisdiction: str
) -> CoinFacts:
    """The facts in a record's columns `values`; without years, its period's stand for them."""
    first, last = values.get("year_from"), values.get("year_to")
    if first is None and last is None:
        first, last = _years_of_period(values.get("period") or "", jurisdiction)
    return CoinFacts(
        name=values.get("object_type") or "",
        first=first,
        last=last,
        weight_g=values.get("weight_g"),
        count=values.get("count") or 1,
        diameter_mm=values.get("diameter_mm"),
        silver_percent=materials.get(Material.SILVER),
        metals=frozenset(materials) & {Material.GOLD, Material.SILVER, Material.COPPER_ALLOY},
        completeness=values.get("completeness") or "",
    )


def _years_of_period(label: str, jurisdiction: str) -> tuple[int | None, int | None]:
    scheme = scheme_for(jurisdiction)
    period = scheme.period(label) if scheme and label else None
    return (period.first, period.last) if period else (None, None)


def notes_of(find: Find, materials: Iterable[Any]) -> tuple[str, ...]:
    """What does not fit about a find that is or may be a coin. `find.site` and its material rows are loaded."""
    if find.is_coin == Tri.NO:
        return ()
    shares = {row.material: row.share_percent for row in materials}
    return coin_notes(facts_from(vars(find), shares, find.site.jurisdiction))
