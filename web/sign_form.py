"""A form that is signed: the name typed, a tick under the statement, a drawing if wanted, the hash of the text read."""

import json
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from web.forms import OnceForm

MOST_POINTS = 5000
SIDE = 1000
"""A drawn signature is whole numbers from 0 to this, across and down; across is three times as wide on the page."""


class SignForm(OnceForm):
    """The name as signature, the tick, and the hash of the text that was on the page."""

    name = forms.CharField(
        label=_lazy("Your name, as your signature"),
        max_length=160,
        min_length=2,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _lazy("Type your full name; it is your signature.")},
    )
    agree = forms.BooleanField(
        error_messages={"required": _lazy("Tick this if you agree; otherwise nothing is signed.")}
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
            _("The drawing could not be read; clear it, or sign by your name alone.")
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


def stroke_paths(strokes: list[list[list[int]]]) -> list[str]:
    """Each stroke as the points of an SVG polyline, three times as wide as high."""
    return [" ".join(f"{x * 3},{y}" for x, y in stroke) for stroke in strokes]
