"""Forms of a case: report, confirmation, decision, the two signatures, messages, tasks, stages, the board."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.actions import RewardPart
from finds.models import RewardShare
from finds.models.case import Decision
from finds.models.case_parts import How
from people.models import User
from permissions.evidence import EvidenceError, take_evidence
from web.forms import BaseForm, OnceForm

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def _text(rows: int = 3) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows})


class ReportForm(OnceForm):
    """The authority was told. It keeps what proves the day."""

    on = forms.DateField(label=_lazy("Reported on"), widget=DAY)
    how = forms.ChoiceField(label=_lazy("How"), choices=How.choices)
    to = forms.CharField(label=_lazy("To whom"), max_length=160)
    reference = forms.CharField(
        label=_lazy("Their reference, if they gave one"), required=False, max_length=80
    )
    words = forms.CharField(label=_lazy("What was said"), required=False, widget=_text())
    evidence = forms.FileField(
        label=_lazy("Copy or photograph of what shows it"),
        required=False,
        help_text=_lazy("A PDF or a picture, if there is one: a letter, a receipt, a screen."),
        widget=forms.ClearableFileInput(attrs={"accept": "application/pdf,image/*"}),
    )

    def __init__(self, *args: Any, authority: str = "", today: date | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["to"].initial = authority
        self.fields["on"].initial = today

    def clean_evidence(self) -> Any:
        upload = self.cleaned_data["evidence"]
        if upload is None:
            return None
        try:
            return take_evidence(upload)
        except EvidenceError as error:
            raise forms.ValidationError(str(error)) from error


class AcknowledgedForm(BaseForm):
    on = forms.DateField(label=_lazy("Confirmed on"), widget=DAY)
    reference = forms.CharField(
        label=_lazy("Their reference, if they gave one"), required=False, max_length=80
    )
    words = forms.CharField(label=_lazy("What they said"), required=False, max_length=300)


class DecisionForm(OnceForm):
    """The authority's decision. Shares are asked for with a reward, and have to make 100 per cent."""

    decision = forms.ChoiceField(label=_lazy("Outcome"), choices=Decision.choices)
    on = forms.DateField(label=_lazy("Decided on"), widget=DAY)
    reference = forms.CharField(
        label=_lazy("Their reference, if they gave one"), required=False, max_length=80
    )
    words = forms.CharField(label=_lazy("Their words"), widget=_text())
    reward = forms.DecimalField(
        label=_lazy("Reward, if they acquired it and gave one"),
        required=False,
        max_digits=12,
        decimal_places=3,
    )
    finder = forms.DecimalField(
        label=_lazy("Finder's share (%)"), required=False, max_digits=6, decimal_places=3
    )
    owner = forms.DecimalField(
        label=_lazy("Landowner's share (%)"), required=False, max_digits=6, decimal_places=3
    )
    occupier = forms.DecimalField(
        label=_lazy("Occupier's share (%)"), required=False, max_digits=6, decimal_places=3
    )
    other = forms.DecimalField(
        label=_lazy("Somebody else's share (%)"), required=False, max_digits=6, decimal_places=3
    )
    other_name = forms.CharField(label=_lazy("Who that is"), required=False, max_length=120)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        for party in RewardShare.Party.values:
            share = values.get(party)
            if share is not None and not 0 <= share <= 100:
                self.add_error(party, _("%(share)s %% is no share; give 0 to 100.") % {"share": share})
        return values

    @property
    def kept(self) -> dict[str, Any]:
        """What the action takes."""
        plain = {name: self.cleaned_data[name] for name in ("decision", "on", "reference", "words", "reward")}
        return plain | {"client_id": self.cleaned_data["client_id"], "parts": self._parts()}

    def _parts(self) -> list[RewardPart]:
        names = {"other": self.cleaned_data["other_name"]}
        said: dict[str, Decimal | None] = {
            party: self.cleaned_data[party] for party in RewardShare.Party.values
        }
        return [RewardPart(party, share, names.get(party, "")) for party, share in said.items() if share]


class ProposeForm(OnceForm):
    words = forms.CharField(label=_lazy("Why nothing is owed"), widget=_text())


class SecondForm(OnceForm):
    """The second signature. Whoever does not agree says why."""

    proposal = forms.IntegerField(widget=forms.HiddenInput)
    agrees = forms.TypedChoiceField(
        label=_lazy("Your answer"),
        choices=[("yes", _lazy("I agree: nothing is owed")), ("no", _lazy("I do not agree"))],
        coerce=lambda said: said == "yes",
        widget=forms.RadioSelect,
    )
    words = forms.CharField(label=_lazy("Your reasons"), required=False, widget=_text())

    def clean(self) -> dict[str, Any]:
        values = super().clean() or self.cleaned_data
        if values.get("agrees") is False and not values.get("words"):
            self.add_error("words", _("Say why you do not agree; whoever proposed it has to know."))
        return values


class TakeBackForm(OnceForm):
    proposal = forms.IntegerField(widget=forms.HiddenInput)
    words = forms.CharField(label=_lazy("Why you take it back"), max_length=300)


class MessageForm(OnceForm):
    """A message of one thread. Who reads it is chosen only where a case has several finders."""

    finder = forms.TypedChoiceField(label=_lazy("To"), coerce=int)
    words = forms.CharField(label=_lazy("Message"), widget=_text())
    asks = forms.BooleanField(label=_lazy("An answer is wanted"), required=False, initial=True)

    def __init__(self, *args: Any, finders: Iterable[User], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(person.pk, person.name) for person in finders]
        field = self.fields["finder"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices
        if len(choices) == 1:
            field.widget, field.initial = forms.HiddenInput(), choices[0][0]


class TaskForm(OnceForm):
    what = forms.CharField(label=_lazy("What is to be done"), max_length=200)
    whose = forms.TypedChoiceField(label=_lazy("Who"), coerce=int)
    due_on = forms.DateField(label=_lazy("By when"), widget=DAY, required=False)

    def __init__(self, *args: Any, people: Iterable[User], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["whose"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(person.pk, person.name) for person in people]


class TaskDoneForm(BaseForm):
    words = forms.CharField(label=_lazy("What came of it"), required=False, max_length=200)


class StageForm(OnceForm):
    stage = forms.ChoiceField(label=_lazy("Stage"))
    on = forms.DateField(
        label=_lazy("Reached on"),
        widget=DAY,
        required=False,
        help_text=_lazy("Leave it empty to take back what was entered."),
    )
    words = forms.CharField(label=_lazy("Note"), required=False, max_length=300)

    def __init__(self, *args: Any, stages: Iterable[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["stage"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = list(stages)


class BoardForm(BaseForm):
    """Which cases the board shows; empty fields leave all in."""

    stage = forms.ChoiceField(label=_lazy("Stage"), required=False)
    place = forms.ChoiceField(label=_lazy("Law of"), required=False)
    whose = forms.ChoiceField(label=_lazy("Whose"), required=False)

    def __init__(
        self, *args: Any, stages: Iterable[tuple[str, str]], places: Iterable[tuple[str, str]],
        whose: Iterable[tuple[str, str]], **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        for name, choices in (("stage", stages), ("place", places), ("whose", whose)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", _("All")), *choices]

    @property
    def asked(self) -> dict[str, str]:
        """What was asked and could be read; what could not is named beside its field and left out."""
        self.is_valid()
        return {name: value for name, value in self.cleaned_data.items() if value}
