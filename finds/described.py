"""What follows from how a find is described: terms with identifiers, the years of a period or an EDTF date, materials.

Form, table of finds and quick entry all come through here, so that the same words always get the same identifiers.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from finds import vocabularies
from finds.edtf_dates import read_edtf
from finds.models import Find, FindMaterial
from finds.models.choices import Material, YearsSource
from finds.periods import scheme_for
from finds.vocabularies import term_for

Materials = Mapping[str, Decimal | None]  # Material value or free words: its share in per cent
Pairs = Mapping[tuple[str, str], Decimal | None]  # Material value and words beside it: its share

DESCRIBING = ("object_type", "period", "edtf", "year_from", "year_to")
# Words that say more closely what one of the listed materials is. What is not here counts as "other": the law then
# takes it as unknown whether it is metal.
KINDS = {
    "brass": Material.COPPER_ALLOY,
    "bronze": Material.COPPER_ALLOY,
    "copper": Material.COPPER_ALLOY,
    "steel": Material.IRON,
    "pewter": Material.TIN,
    "limestone": Material.FLINT,
    "marble": Material.FLINT,
    "stone": Material.FLINT,
    "antler": Material.BONE,
} | {name.casefold(): material for material in Material for name in (material.value, str(material.label))}


def completed(fields: Mapping[str, Any], jurisdiction: str, find: Find | None = None) -> dict[str, Any]:
    """The columns that follow from `fields`, and for a record that is changed from what `find` keeps.

    Raises EdtfError for an EDTF date that cannot be read.
    """
    values = {name: _kept(find, name) for name in DESCRIBING} | dict(fields)
    term = term_for(values["object_type"] or "", vocabularies.OBJECTS)
    scheme = scheme_for(jurisdiction)
    period = scheme.period(values["period"] or "") if scheme else None
    return {
        "object_scheme": term.scheme if term else "",
        "object_uri": term.uri if term else "",
        "period_scheme": scheme.cited if scheme and period else "",
        "period_uri": period.uri if period else "",
        **_years(values, (period.first, period.last) if period else (None, None)),
    }


def _kept(find: Find | None, name: str) -> Any:
    """What somebody typed; years that were filled in are worked out anew."""
    if find is None:
        return None
    filled_in = find.years_source in {YearsSource.PERIOD, YearsSource.EDTF}
    return None if filled_in and name in {"year_from", "year_to"} else getattr(find, name)


def _years(values: Mapping[str, Any], of_period: tuple[int | None, int | None]) -> dict[str, Any]:
    """Typed years stand before an EDTF date, and that before the whole of the period."""
    first, last, source = values["year_from"], values["year_to"], YearsSource.TYPED
    if first is None and last is None and values["edtf"]:
        read = read_edtf(values["edtf"])
        first, last, source = read.first, read.last, YearsSource.EDTF
    elif first is None and last is None:
        (first, last), source = of_period, YearsSource.PERIOD
    dated = first is not None or last is not None
    return {"year_from": first, "year_to": last, "years_source": source.value if dated else ""}


def material_of(text: str) -> tuple[Material, str]:
    """The listed material that `text` means, and the words to keep beside it ("" where the list says the same)."""
    words = " ".join(text.split())
    material = KINDS.get(words.casefold(), Material.OTHER)
    same = words.casefold() in {material.value, str(material.label).casefold()}
    return material, "" if same else words


def material_rows(find: Find, materials: Materials | Pairs) -> Iterable[FindMaterial]:
    """Unsaved rows of what `find` is made of, one a material, with the vocabulary's term where there is one."""
    meant = {material_of(key) if isinstance(key, str) else key: share for key, share in materials.items()}
    for (material, words), share in meant.items():
        term = term_for(words or material, vocabularies.MATERIALS)
        yield FindMaterial(
            find=find,
            material=material,
            words=words,
            scheme=term.scheme if term else "",
            uri=term.uri if term else "",
            share_percent=share,
        )
