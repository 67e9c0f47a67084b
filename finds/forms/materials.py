"""The part of the find form that says what the object is made of, and how much of it."""

from decimal import Decimal
from typing import Any

from django import forms

from finds.models.find import Material

SHARED = {Material.GOLD: "gold_percent", Material.SILVER: "silver_percent"}


def _share_field(label: str) -> forms.DecimalField:
    """A share of the metal in per cent; a figure outside 0 to 100 is named with what to give instead."""
    outside = "%(show_value)s %% cannot be a share of the metal; give a figure from 0 to 100."
    return forms.DecimalField(
        label=label,
        min_value=0,
        max_value=100,
        decimal_places=2,
        required=False,
        error_messages={"min_value": outside, "max_value": outside},
    )


class MaterialsMixin(forms.Form):
    """Mixin for a find's form. `materials_found()`, called from clean(), gives material to share."""

    materials = forms.MultipleChoiceField(
        label="Materials", choices=Material.choices, widget=forms.CheckboxSelectMultiple, required=False
    )
    gold_percent = _share_field("Gold (%)")
    silver_percent = _share_field("Silver (%)")
    no_precious = forms.BooleanField(
        label="No gold or silver on it, plating included",
        required=False,
        help_text="Tick only if you looked for both; leave it when in doubt.",
    )

    def show_materials(self, rows: Any) -> None:
        """Start from the FindMaterial `rows` of a record."""
        shares = {row.material: row.share_percent for row in rows}
        self.fields["materials"].initial = list(shares)
        for material, name in SHARED.items():
            self.fields[name].initial = shares.get(material)

    def materials_found(self) -> dict[str, Decimal | None]:
        found: dict[str, Decimal | None] = dict.fromkeys(self.cleaned_data.get("materials") or [])
        for material, name in SHARED.items():
            share = self.cleaned_data.get(name)
            if share is not None:
                found[material.value] = share
        self._check_no_precious(found)
        total = sum((share for share in found.values() if share is not None), Decimal(0))
        if total > 100:
            self.add_error(
                "silver_percent", f"Gold and silver add up to {total} %; together they cannot pass 100 %."
            )
        return found

    def _check_no_precious(self, found: dict[str, Decimal | None]) -> None:
        listed = [material.label.lower() for material in SHARED if material.value in found]
        if listed and self.cleaned_data.get("no_precious"):
            words = " and ".join(listed)
            self.add_error(
                "no_precious",
                f"“No gold or silver” is ticked and {words} is listed; take one of the two away.",
            )
