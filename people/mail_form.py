"""Which optional letters somebody wants: one tick a kind."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext as _

from people.letter_kinds import RULES, LetterKind
from web.forms import BaseForm


class MailForm(BaseForm):
    """One tick for each of `kinds`, ticked as `wanted`."""

    def __init__(self, kinds: Iterable[LetterKind], wanted: Iterable[LetterKind], data: Any = None) -> None:
        super().__init__(data)
        self.kinds, ticked = list(kinds), set(wanted)
        for kind in self.kinds:
            self.fields[kind.name.lower()] = forms.BooleanField(
                label=kind.label,
                required=False,
                initial=kind in ticked,
                help_text=_("Sent because %(why)s.") % {"why": RULES[kind].why},
            )

    def chosen(self) -> set[LetterKind]:
        """The kinds that were ticked."""
        return {kind for kind in self.kinds if self.cleaned_data[kind.name.lower()]}


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent, also when every tick was taken away and nothing is left of the form."""
    return request.POST if request.method == "POST" else None
