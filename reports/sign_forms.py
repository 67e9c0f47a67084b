"""Forms of agreements: whom to send one to, and signing, declining or withdrawing as a landholder."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from reports.agreements import Signer, digest_of, says
from reports.blocks import Report
from reports.content import to_data
from web.forms import BaseForm, OnceForm
from web.sign_form import SignForm as SignForm  # others read it from here


class SendForm(BaseForm):
    """Who is asked to sign, and how long the address works."""

    signers = forms.MultipleChoiceField(
        label=_lazy("Ask these to sign"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _lazy("Nobody is ticked; tick at least one landholder.")},
    )
    days = forms.IntegerField(
        label=_lazy("The address works for (days)"),
        initial=30,
        min_value=1,
        max_value=180,
        help_text=_lazy("1 to 180."),
    )

    read_sha256 = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)

    def __init__(self, *args: Any, signers: Sequence[Signer], report: Report, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.report = report
        self.fields["read_sha256"].initial = self.sha256 = digest_of(says(to_data(report)))
        self.people = {signer.key: signer for signer in signers}
        self.fields["signers"].choices = [(s.key, s.words) for s in signers]  # type: ignore[attr-defined]
        self.fields["signers"].initial = [signer.key for signer in signers if signer.suggested]

    def clean_read_sha256(self) -> str:
        """What the secretary read is what is sent, also when somebody changed the terms meanwhile."""
        read: str = self.cleaned_data["read_sha256"]
        if read and read != self.sha256:
            typed: Any = self.data
            again = typed.copy()  # what was typed stays; only the hash is that of the text now shown
            again["read_sha256"] = self.sha256
            self.data = again
            raise forms.ValidationError(
                _(
                    "Somebody changed the terms, the land or the parties since this page was opened. "
                    "Read the text below again, then send it."
                )
            )
        return read

    def clean_signers(self) -> list[Signer]:
        return [self.people[key] for key in self.cleaned_data["signers"]]


class DeclineForm(BaseForm):
    why = forms.CharField(
        label=_lazy("Why, or what should be different"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "required": _lazy("Please say in a few words why, so that the club can put it right.")
        },
    )


class WithdrawForm(OnceForm):
    words = forms.CharField(
        label=_lazy("Why, if you want to say"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
