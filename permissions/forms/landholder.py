"""Forms of landholders, their say over sites, and their private links."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.languages import own_choices
from people.models import User
from permissions.forms.fields import DateField, InOrderMixin
from permissions.models import Landholder, SiteParty
from permissions.models.site import Capacity
from web.forms import BaseForm, BaseModelForm, OnceForm, OnceModelForm


class LandholderForm(OnceModelForm):
    """Who they are and why their details are held."""

    language = forms.ChoiceField(
        label=_lazy("Language"),
        choices=own_choices,
        required=False,
        help_text=_lazy("Of their page and of the letters and papers for them."),
    )

    class Meta:
        model = Landholder
        fields = [
            "name",
            "contact_name",
            "email",
            "asks_code",
            "language",
            "phone",
            "address",
            "notes",
            "held_since",
            "held_why",
        ]
        field_classes = {"held_since": DateField}
        widgets = {"address": forms.Textarea(attrs={"rows": 3}), "notes": forms.Textarea(attrs={"rows": 3})}

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        if values.get("asks_code") and not values.get("email") and "email" not in self.errors:
            self.add_error(
                "email", _("Enter the address to which the codes go, or take the tick for the code away.")
            )
        return values


class PartyForm(InOrderMixin, BaseModelForm):
    """A landholder's say over one site."""

    first_last = ("since", "until")

    class Meta:
        model = SiteParty
        fields = ["landholder", "capacity", "acts_for", "authority", "since", "until"]
        field_classes = {"since": DateField, "until": DateField}
        labels = {
            "landholder": _lazy("Landholder"),
            "capacity": _lazy("In what capacity"),
            "acts_for": _lazy("The agent acts for"),
        }
        help_texts = {
            "capacity": _lazy("Owner and tenant decide; a sporting tenant or grazier is only told."),
            "authority": _lazy("For an agent: the letter or e-mail that shows it. Without it the gate asks."),
            "until": _lazy("Leave empty while it lasts."),
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("landholder", "acts_for"):
            self.fields[name].queryset = Landholder.objects.visible_to(user).filter(erased_on=None)  # type: ignore[attr-defined]

    def validate_unique(self) -> None:
        """The same landholder in the same capacity is renewed, not refused."""

    def clean(self) -> dict[str, Any] | None:
        values = super().clean() or self.cleaned_data
        agent = self.cleaned_data.get("capacity") == Capacity.AGENT
        acts_for = self.cleaned_data.get("acts_for")
        if agent and acts_for is None:
            self.add_error(
                "acts_for", _("Choose whom the agent acts for; an agent's consent counts only for somebody.")
            )
        if not agent and acts_for is not None:
            self.add_error(
                "acts_for", _("Only an agent acts for somebody; leave this empty or choose Agent.")
            )
        if agent and acts_for is not None and acts_for == self.cleaned_data.get("landholder"):
            self.add_error(
                "acts_for",
                _("%(acts_for_name)s cannot be their own agent; choose whom the agent acts for.")
                % {"acts_for_name": acts_for.name},
            )
        return values


class EndForm(BaseForm):
    """The last day of something."""

    on = DateField(label=_lazy("Last day"))


class LinkForm(OnceForm):
    """How long a private link works."""

    days = forms.IntegerField(
        label=_lazy("Works for (days)"),
        min_value=1,
        max_value=730,
        initial=90,
        help_text=_lazy("It can be ended at any time."),
    )
