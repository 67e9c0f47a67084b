"""Start a risk assessment from the list of usual hazards, and adapt its lines."""

from datetime import date
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.hazards import BY_CODE, HAZARDS, score
from hunts.models import Hunt, RiskAssessment, RiskLine
from people.models import User
from permissions.models import Site
from permissions.models.site import Said
from web.forms import OnceForm, OnceModelForm

ONE_TO_FIVE = forms.NumberInput(attrs={"min": 1, "max": 5, "inputmode": "numeric"})


class RiskStartForm(OnceForm):
    """Which of the usual hazards are here. Ticked at first: what stood there last time, or what any field has."""

    codes = forms.MultipleChoiceField(
        label=_lazy("Hazards on this ground"),
        choices=[(hazard.code, _lazy(hazard.words)) for hazard in HAZARDS],
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _lazy("Nothing is ticked; no ground is without hazards. Tick what is there.")
        },
    )
    review_on = forms.DateField(
        label=_lazy("Look at it again on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, hunt: Hunt, site: Site, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.hunt = hunt
        self.fields["review_on"].initial = hunt.on
        last = RiskAssessment.objects.visible_to(by).filter(site=site).order_by("-hunt__on", "-pk").first()
        known = {line.code for line in last.lines.all()} if last else _everywhere(site)
        self.fields["codes"].initial = [code for code in BY_CODE if code in known]

    def clean_review_on(self) -> date:
        day: date = self.cleaned_data["review_on"]
        if day < self.hunt.on:
            raise forms.ValidationError(
                _("%(day)s is before the hunt on %(hunt_on)s; give that day or later.")
                % {"day": date_format(day, "j M Y"), "hunt_on": date_format(self.hunt.on, "j M Y")}
            )
        return day


def _everywhere(site: Site) -> set[str]:
    """What no field is free of; the tide where the site is tidal or nobody has said that it is not."""
    usual = {"ground", "vehicles", "services", "sharps", "lead", "ordnance", "soil", "weather", "alone"}
    return usual | ({"tide"} if site.tidal != Said.NO else set())


class RiskLineForm(OnceModelForm):
    class Meta:
        model = RiskLine
        fields = [
            "hazard", "likelihood", "severity", "control", "owner", "residual_likelihood", "residual_severity",
        ]  # fmt: skip
        widgets = {
            "control": forms.Textarea(attrs={"rows": 3}),
            **dict.fromkeys(
                ("likelihood", "severity", "residual_likelihood", "residual_severity"), ONE_TO_FIVE
            ),
        }
        help_texts = {
            "likelihood": _lazy("1 hardly ever, 5 almost certain; before anything is done."),
            "severity": _lazy("1 a scratch, 5 a death."),
            "owner": _lazy("A person or a task: leader, gate steward, everybody."),
        }

    def record_fields(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        names = ("likelihood", "severity", "residual_likelihood", "residual_severity")
        given: list[int] = [values[name] for name in names if values.get(name) is not None]
        if len(given) == len(names) and all(1 <= value <= 5 for value in given):
            before, left = score(*given[:2]), score(*given[2:])
            if left > before:
                self.add_error(
                    "residual_likelihood",
                    _(
                        "What is left (%(left)s) is more than before anything is done (%(before)s); give "
                        "smaller figures."
                    )
                    % {"left": left, "before": before},
                )
        return values
