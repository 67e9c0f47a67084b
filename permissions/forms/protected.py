"""A layer of protected places: where it comes from, how old it is, and how far to keep off."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from permissions.forms.fields import DateField
from permissions.models import ProtectedLayer
from tongue import figure
from web.forms import BaseModelForm


class LayerForm(BaseModelForm):
    """What is known of a layer. `today` limits the day of the data."""

    class Meta:
        model = ProtectedLayer
        fields = ["name", "kind", "source", "licence", "data_on", "buffer_m", "is_check"]
        field_classes = {"data_on": DateField}
        help_texts = {
            "name": _lazy("As it shall stand in the list, such as Scheduled monuments, Holderness."),
            "kind": _lazy("One of them in words, such as scheduled monument. The gate says it."),
            "source": _lazy("Who publishes the data, and where they were fetched."),
            "licence": _lazy("Under which licence they are published, with the credit it asks for."),
            "data_on": _lazy("The day the publisher gives, not the day you fetched them."),
            "buffer_m": _lazy("A site that comes this close asks first; one that touches a place is shut."),
            "is_check": _lazy(
                "Tick it if, with the other layers ticked so, it shows every protected place that has to be "
                "looked up round here. Their data date then stands as the yearly check."
            ),
        }

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_data_on(self) -> date:
        given: date = self.cleaned_data["data_on"]
        if given > self.today:
            raise forms.ValidationError(
                _("%(given)s has not come yet; give the day of the data, %(today)s at the latest.")
                % {"given": date_format(given, "j M Y"), "today": date_format(self.today, "j M Y")}
            )
        return given

    def clean_buffer_m(self) -> float:
        metres: float = self.cleaned_data["buffer_m"]
        if not 0 <= metres <= 5000:
            raise forms.ValidationError(
                _("A margin of %(metres)s m cannot be right; give 0 to 5000 metres.")
                % {"metres": figure(f"{metres:g}")}
            )
        return metres


class NewLayerForm(LayerForm):
    """A layer with the attributes of its file that hold each place's name and number."""

    name_field = forms.ChoiceField(label=_lazy("Name of each place"), required=False)
    reference_field = forms.ChoiceField(label=_lazy("Its number in the register"), required=False)
    field_order = [
        "name",
        "kind",
        "source",
        "licence",
        "data_on",
        "buffer_m",
        "name_field",
        "reference_field",
    ]

    def __init__(self, *args: Any, attributes: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        told = [
            (name, _("%(name)s, such as %(example)s") % {"name": name, "example": example})
            for name, example in attributes
        ]
        for field, empty in (
            ("name_field", _("As the file was read")),
            ("reference_field", _("It has none")),
        ):
            self.fields[field].choices = [("", empty), *told]  # type: ignore[attr-defined]
