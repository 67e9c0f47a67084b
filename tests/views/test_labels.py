"""Every form asks in the reader's language, also where a model's field has no words of its own."""

import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest
from django import forms
from django.utils import translation

from web.forms import OF_FIELD_NAMES, BaseForm

ROOT = Path(__file__).resolve().parent.parent.parent
APPS = ("people", "web", "permissions", "hunts", "finds", "field", "reports", "doors", "keeping")
pytestmark = pytest.mark.once


def _forms() -> Iterator[type[forms.BaseForm]]:
    for app in APPS:
        for path in sorted((ROOT / app).rglob("*form*.py")) + sorted((ROOT / app).rglob("forms/*.py")):
            import_module(".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))
    waiting: list[type] = [forms.BaseForm]
    while waiting:
        for each in waiting.pop().__subclasses__():
            waiting.append(each)
            if each.__module__.split(".")[0] in APPS:
                yield each


def test_no_label_is_only_the_name_of_a_column() -> None:
    """The framework makes 'Dug at' of `dug_at`: English, and never collected for translation."""
    seen, bare = 0, set()
    for form in set(_forms()):
        for field in getattr(form, "base_fields", {}).values():
            seen += 1
            is_made = isinstance(field.label, str) and re.fullmatch(r"[A-Z][a-z ]+", field.label)
            if is_made and not isinstance(field.widget, forms.HiddenInput):
                bare.add(str(field.label))
    assert seen > 500
    assert bare == OF_FIELD_NAMES


def test_such_a_label_is_said_in_the_readers_language() -> None:
    class Asks(BaseForm):
        finder = forms.CharField(label="Finder")

    with translation.override("nl"):
        assert str(Asks()["finder"].label) == "Vinder"
        assert [label for label in OF_FIELD_NAMES if translation.gettext(label) == label] == []
