"""Long forms in parts: what everybody needs stands open, the rest is folded and says what is filled in there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.utils.functional import Promise

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a form as _parts/_form.html shows it."""

    title: str
    fields: list[forms.BoundField]
    is_folded: bool
    is_open: bool
    filled: list[str]
    """The labels of the fields that hold something."""


class PartsMixin(forms.Form):
    """Mixin for a form whose `FOLDS` name what is folded; what no fold names stands open before them.

    A fold is open where something in it is wrong or was just typed, so that nothing is mended or sent unseen.
    """

    FOLDS: ClassVar[Sequence[tuple["StrOrPromise", Sequence[str]]]] = ()
    OPEN_TITLE: ClassVar["str | Promise"] = ""

    def folds(self) -> Sequence[tuple["StrOrPromise", Sequence[str]]]:
        """What is folded; a form whose fields are made while it runs says it here."""
        return self.FOLDS

    @property
    def parts(self) -> Iterator[Part]:
        folds = self.folds()
        folded = {name for _title, names in folds for name in names}
        rest = [name for name in self.fields if name not in folded]
        yield Part(str(self.OPEN_TITLE), self._shown(rest), is_folded=False, is_open=True, filled=[])
        for title, names in folds:
            fields = self._shown(names)
            if not fields:
                continue  # taken off this form
            filled = [field for field in fields if self._is_filled(field)]
            opened = any(field.errors for field in fields) or (self.is_bound and bool(filled))
            yield Part(str(title), fields, True, opened, [str(field.label) for field in filled])

    def _shown(self, names: Sequence[str]) -> list[forms.BoundField]:
        return [self[name] for name in names if name in self.fields and not self[name].is_hidden]

    def _is_filled(self, field: forms.BoundField) -> bool:
        """Does it hold anything but what every new form begins with?"""
        usual = self.base_fields.get(field.name, field.field).initial
        return _plain(field.value()) not in {"", _plain(usual() if callable(usual) else usual)}


def _plain(value: Any) -> str:
    """A value as the form would send it; ticks that are not set, empty lists and nothing are all empty."""
    if value is None or value is False or (isinstance(value, (list, tuple, dict, set)) and not value):
        return ""
    # A field of several inputs gives its lines back, each of which knows whether something stands in it.
    if isinstance(value, list) and all(hasattr(line, "is_there") for line in value):
        return "yes" if any(line.is_there for line in value) else ""
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)
