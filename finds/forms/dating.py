"""The part of the find form that says when the object was made."""

from typing import Any

from django import forms


class DatingMixin(forms.Form):
    """Mixin for a find's form with `year_from` and `year_to`. Call `check_dating()` from clean()."""

    def check_dating(self) -> None:
        values: dict[str, Any] = self.cleaned_data
        first, last = values.get("year_from"), values.get("year_to")
        for name, year in (("year_from", first), ("year_to", last)):
            if year == 0:
                self.add_error(name, "There is no year 0: write 1 BC as -1 and AD 1 as 1.")
        if first is not None and last is not None and last < first:
            self.add_error("year_to", f"{last} is before {first}; give the earlier year first.")
