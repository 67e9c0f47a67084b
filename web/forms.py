"""Form bases: fields wired for assistive technology, a once-only key, and a position field set."""

from typing import Any
from uuid import uuid4

from django import forms

TEXT_ROWS = 4  # Django's ten push the next field off a phone
DJANGO_ROWS = "10"


def fit_text_areas(form: forms.BaseForm) -> None:
    """Text areas that say nothing of their height get one that leaves the next field in sight."""
    for field in form.fields.values():
        if isinstance(field.widget, forms.Textarea) and field.widget.attrs.get("rows") == DJANGO_ROWS:
            field.widget.attrs["rows"] = TEXT_ROWS


class BaseForm(forms.Form):
    """A form that renders through _parts/_form.html."""

    required_css_class = "required"

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        fit_text_areas(self)


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
