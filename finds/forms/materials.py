"""The part of the find form that says what the object is made of, and how much of it."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms.material_shares import SharesField
from tongue import all_of

# Words that speak of gold or silver in another material.
PRECIOUS = re.compile(r"\b(gold|golden|gilt|gilded|silver|silvered|electrum|billon)\b", re.IGNORECASE)


class MaterialsMixin(forms.Form):
    """Mixin for a find's form. `materials_found()`, called from clean(), gives material to share."""

    materials = SharesField(
        label=_lazy("Materials"),
        required=False,
        help_text=_lazy(
            "Tick what you see. A share only if it was measured: per cent by weight, for metals of the metal."
        ),
    )
    no_precious = forms.BooleanField(
        label=_lazy("No gold or silver on it, plating included"),
        required=False,
        help_text=_lazy("Tick only if you looked for both; leave it when in doubt."),
    )

    def show_materials(self, rows: Any) -> None:
        """Start from the FindMaterial `rows` of a record."""
        self.fields["materials"].initial = {row.words or row.material: row.share_percent for row in rows}

    def materials_found(self) -> dict[str, Decimal | None]:
        found: dict[str, Decimal | None] = self.cleaned_data.get("materials") or {}
        listed = [name for name in found if PRECIOUS.search(name)]
        if listed and self.cleaned_data.get("no_precious"):
            words = all_of(listed)
            self.add_error(
                "no_precious",
                _("“No gold or silver” is ticked and %(words)s is listed; take one of the two away.")
                % {"words": words},
            )
        return found
