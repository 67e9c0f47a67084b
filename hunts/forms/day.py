"""Open, brief, close and call off."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from hunts.errors import UnfilledError
from hunts.models import Hunt, SignUp
from hunts.states import SignUpState
from people.models import User
from web.forms import BaseForm


class OpenForm(BaseForm):
    """Asks something only where the gate says to ask first."""

    asked = forms.BooleanField(
        label=_lazy("I asked, and this is the answer"),
        error_messages={
            "required": _lazy("Ask first; tick this once you have, and write down who said what.")
        },
    )
    words = forms.CharField(
        label=_lazy("Who said what, and when"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_lazy(
            "For example: the tenant, by phone on Friday evening: the sheep are off; use the east gate."
        ),
        error_messages={
            "required": _lazy("Write down who said what, and when, so that others can rely on it.")
        },
    )

    def __init__(self, *args: Any, ask: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not ask:
            self.fields.clear()


class CallOffForm(BaseForm):
    why = forms.CharField(
        label=_lazy("Why"),
        max_length=300,
        help_text=_lazy("Sent to everybody who was coming or waiting."),
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class CloseForm(BaseForm):
    """The head count, why holes stay open where some do, and what the landholder should know of the ground."""

    counted = forms.IntegerField(
        label=_lazy("How many people did you count at the gate?"),
        min_value=0,
        max_value=5000,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    unfilled_why = forms.CharField(
        label=_lazy("Why holes stay open"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_lazy(
            "Kept with the hunt and shown to the landholder; the holes stay listed until they are filled."
        ),
    )
    noticed = forms.CharField(
        label=_lazy("Gates, stock, fences, strangers: what did you notice?"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_lazy(
            "Read by the landholder in the visit report. For example: gates all shut; a post down by the beck."
        ),
    )
    damage = forms.CharField(
        label=_lazy("Was anything damaged, by us or before we came?"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_lazy(
            "Say what, where and whether the landholder was told. Empty means that you know of none."
        ),
    )

    def __init__(self, *args: Any, unfilled: list[int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["unfilled_why"].error_messages["required"] = str(UnfilledError(unfilled))
        if not unfilled:
            del self.fields["unfilled_why"]


class _HeardField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        return str(obj.user.name)


class BriefingForm(BaseForm):
    """Tick who heard it."""

    heard = _HeardField(
        None,
        label=_lazy("Who heard it"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _lazy("Nobody is ticked; tick everybody who heard the briefing.")},
    )

    def __init__(self, *args: Any, hunt: Hunt, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = SignUp.objects.visible_to(by).filter(hunt=hunt).standing().filter(briefed_at__isnull=True)
        self.fields["heard"].queryset = rows.select_related("user")  # type: ignore[attr-defined]


class LateComerForm(BaseForm):
    """Somebody at the gate who did not sign up."""

    person: Any = forms.ModelChoiceField(
        None,
        label=_lazy("Somebody came who is not listed"),
        empty_label=_lazy("Choose"),
        error_messages={"required": _lazy("Choose who came.")},
    )

    def __init__(self, *args: Any, hunt: Hunt, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        listed = SignUp.objects.visible_to(by).filter(hunt=hunt).exclude(state=SignUpState.WITHDRAWN)
        people = User.objects.visible_to(by).members_on(hunt.on).exclude(pk__in=listed.values("user"))
        self.fields["person"].queryset = people  # type: ignore[attr-defined]


class SignUpPersonForm(LateComerForm):
    """Somebody who asked to be signed up."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"].label = _("Who is coming")
        self.fields["person"].help_text = _("Members on the hunt's day who are not signed up yet.")
        self.fields["person"].error_messages["required"] = _("Choose who is coming.")
