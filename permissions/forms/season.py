"""A usual season, adapted and laid on several sites at once."""

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from permissions.forms.ground import ClosedPeriodForm
from permissions.models import Site
from permissions.seasons import Season


def season_initial(season: Season, year: int) -> dict[str, Any]:
    """The season that starts in `year` as a closed period to be adapted."""
    starts, ends = season.days(year)
    return {
        "reason": season.reason,
        "starts": starts,
        "ends": ends,
        "yearly": True,
        "effect": season.effect,
    }


class SeasonForm(ClosedPeriodForm):
    """A closed period with the sites it is for, listed by farm."""

    sites = forms.MultipleChoiceField(
        label=_lazy("Sites"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _lazy("Choose at least one site.")},
    )

    def __init__(self, *args: Any, sites: Sequence[Site], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = {str(site.pk): site for site in sites}
        by_farm = groupby(sorted(sites, key=lambda s: (s.holding, s.code)), key=lambda s: s.holding)
        self.fields["sites"].choices = [  # type: ignore[attr-defined]
            (farm or _("No farm named"), [(str(site.pk), str(site)) for site in group])
            for farm, group in by_farm
        ]

    def clean_sites(self) -> list[Site]:
        return [self.rows[key] for key in self.cleaned_data["sites"]]
