"""A text field that offers terms and takes any text: what is offered is a help, never a limit."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString


class TermInput(forms.TextInput):
    """A text input with a list of (term, remark) to choose from; browsers without datalist show the plain input."""

    def __init__(self, terms: Iterable[tuple[str, str]] = (), attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"autocomplete": "off", **(attrs or {})})
        self.terms = tuple(terms)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        if not self.terms:
            return super().render(name, value, attrs, renderer)
        key = f"{(attrs or {}).get('id', f'id_{name}')}-terms"
        options = format_html_join("", '<option value="{}">{}</option>', self.terms)
        control = super().render(name, value, {**(attrs or {}), "list": key}, renderer)
        return format_html('{}<datalist id="{}">{}</datalist>', control, key, options)


def plain(labels: Iterable[str]) -> list[tuple[str, str]]:
    """Terms without remarks."""
    return [(label, "") for label in labels]


# Common practice: the words recorders and museums use. Anything else may be written.
CONTEXTS = ("ploughsoil", "subsoil", "spoil", "surface", "beach")  # trade practice, section 5.1 of the notes
COMPLETENESS = ("complete", "almost complete", "incomplete", "fragment", "uncertain")
CONDITIONS = ("good", "fair", "poor", "corroded", "worn", "bent", "broken in the ground", "freshly damaged")
LAND_USES = (
    "ploughed",
    "harrowed or drilled",
    "crop",
    "stubble",
    "grass",
    "woodland",
    "garden",
    "beach",
    "foreshore",
)
