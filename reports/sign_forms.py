"""Forms of agreements: whom to send one to, and signing, declining or withdrawing as a landholder."""

import json
from collections.abc import Sequence
from typing import Any

from django import forms

from reports.agreements import Signer, digest_of, says
from reports.blocks import Report
from reports.content import to_data
from web.forms import BaseForm, OnceForm

MOST_POINTS = 5000
SIDE = 1000
"""A drawn signature is whole numbers from 0 to this, across and down; across is three times as wide on the page."""


class SendForm(BaseForm):
    """Who is asked to sign, and how long the address works."""

    signers = forms.MultipleChoiceField(
        label="Ask these to sign",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Nobody is ticked; tick at least one landholder."},
    )
    days = forms.IntegerField(
        label="The address works for (days)", initial=30, min_value=1, max_value=180, help_text="1 to 180."
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
                "Somebody changed the terms, the land or the parties since this page was opened. "
                "Read the text below again, then send it."
            )
        return read

    def clean_signers(self) -> list[Signer]:
        return [self.people[key] for key in self.cleaned_data["signers"]]


class SignForm(OnceForm):
    """The name as signature, the tick, and the hash of the text that was on the page."""

    name = forms.CharField(
        label="Your name, as your signature",
        max_length=160,
        min_length=2,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": "Type your full name; it is your signature."},
    )
    agree = forms.BooleanField(
        error_messages={"required": "Tick this if you agree; otherwise nothing is signed."}
    )
    read_sha256 = forms.CharField(widget=forms.HiddenInput, max_length=64, required=False)
    drawn = forms.CharField(widget=forms.HiddenInput(attrs={"data-sign-strokes": ""}), required=False)

    def __init__(self, *args: Any, statement: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["agree"].label = statement

    def clean_drawn(self) -> list[list[list[int]]]:
        """Strokes of [across, down]; none when nothing was drawn."""
        text = self.cleaned_data["drawn"]
        unreadable = forms.ValidationError(
            "The drawing could not be read; clear it, or sign by your name alone."
        )
        try:
            strokes: list[list[list[int]]] = json.loads(text) if text else []
        except ValueError as error:
            raise unreadable from error
        if not _are_strokes(strokes):
            raise unreadable
        return strokes


def _are_strokes(strokes: Any) -> bool:
    if not isinstance(strokes, list) or not all(isinstance(stroke, list) for stroke in strokes):
        return False
    points = [point for stroke in strokes for point in stroke]
    return len(points) <= MOST_POINTS and all(
        isinstance(p, list) and len(p) == 2 and all(type(v) is int and 0 <= v <= SIDE for v in p)
        for p in points
    )


class DeclineForm(BaseForm):
    why = forms.CharField(
        label="Why, or what should be different",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Please say in a few words why, so that the club can put it right."},
    )


class WithdrawForm(OnceForm):
    words = forms.CharField(
        label="Why, if you want to say",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
