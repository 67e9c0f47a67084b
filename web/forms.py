"""Form bases: fields wired for assistive technology, a once-only key, and a position field set."""

from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _

from tongue import noop

TEXT_ROWS = 4  # Django's ten push the next field off a phone
DJANGO_ROWS = "10"
OF_FIELD_NAMES = frozenset(
    (noop("Digger"), noop("Effect"), noop("Finder"), noop("Ground"), noop("Hole"), noop("Kit"), noop("Leader"),
     noop("Notes"), noop("Outcome"), noop("Permission"), noop("Result"), noop("Site"))
)  # fmt: skip
"""What the framework makes of a field's name where its model gives it no words."""


def fit_text_areas(form: forms.BaseForm) -> None:
    """Text areas that say nothing of their height get one that leaves the next field in sight."""
    for field in form.fields.values():
        if isinstance(field.widget, forms.Textarea) and field.widget.attrs.get("rows") == DJANGO_ROWS:
            field.widget.attrs["rows"] = TEXT_ROWS


def say_labels(form: forms.BaseForm) -> None:
    """Labels that stand for a model's field, where nobody wrote one, in the reader's language."""
    for field in form.fields.values():
        if isinstance(field.label, str) and field.label in OF_FIELD_NAMES:
            field.label = _(field.label)


class BaseForm(forms.Form):
    """A form that renders through _parts/_form.html."""

    required_css_class = "required"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        fit_text_areas(self)
        say_labels(self)


class OnceForm(BaseForm):
    """A form that creates something: its hidden key makes a second sending harmless."""

    client_id = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["client_id"].initial = uuid4

    def clean_client_id(self) -> Any:
        return self.cleaned_data.get("client_id") or uuid4()


class BaseModelForm(forms.ModelForm):  # type: ignore[type-arg]
    """A model form that renders through _parts/_form.html. It validates; only actions save."""

    required_css_class = "required"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        fit_text_areas(self)
        say_labels(self)

    def save(self, commit: bool = True) -> Any:
        raise NotImplementedError("Only actions write: pass cleaned_data to one.")


class OnceModelForm(BaseModelForm):
    """A model form that creates a row once."""

    client_id = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["client_id"].initial = uuid4

    def clean_client_id(self) -> Any:
        return self.cleaned_data.get("client_id") or uuid4()
