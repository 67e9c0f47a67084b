"""Correct a record that waits, leave one out, and take in a file from a phone."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.forms import FindForm
from hunts.forms import HoleForm, IncidentForm
from hunts.forms.kit import GroundReadingForm
from hunts.models import Hunt
from people.models import User
from tongue import figure, noop
from web.forms import BaseForm

FILE_BYTES = 20 * 1024 * 1024
# What of a record can be corrected: its name in the record, and the field of the page's form that asks for it.
HOLE = {"site": "site", "depth_cm": "depth_cm", "outcome": "outcome", "stopped_for": "stopped_for",
        "target_id": "target_id", "ground": "ground", "text": "position_text", "notes": "notes"}  # fmt: skip
FIND = {"object_type": "object_type", "count": "count", "coin": "is_coin", "site": "site",
        "text": "position_text", "notes": "description"}  # fmt: skip
READING = {"environment": "environment", "value": "value", "kit": "kit", "scale": "scale", "notes": "notes"}
INCIDENT = {"kind": "kind", "words": "words", "told": "told", "text": "position_text"}
ASKED: dict[str, tuple[Any, dict[str, str]]] = {
    "hole": (HoleForm, HOLE),
    "find": (FindForm, FIND),
    "reading": (GroundReadingForm, READING),
    "incident": (IncidentForm, INCIDENT),
}
BY_TIME = ("fill", "sign_out")
TEXT_HELP = noop("Leave empty to keep the position that the phone found. What is typed here takes its place.")


class CorrectForm(BaseForm):
    """The fields of the page that records the same thing; whether all is right the record's own checks say."""

    def __init__(
        self, *args: Any, kind: str, sent: dict[str, Any], hunt: Hunt, by: User, at: datetime, **kwargs: Any
    ):
        super().__init__(*args, **kwargs)
        when = forms.DateTimeInput(attrs={"type": "datetime-local", "step": "1"}, format="%Y-%m-%dT%H:%M:%S")
        self.fields["when"] = forms.DateTimeField(label=_("When it was"), widget=when)
        self.fields["when"].initial = localtime(datetime.fromisoformat(sent["at"])).replace(tzinfo=None)
        if kind == "sign_out":
            self.fields["words"] = forms.CharField(
                label=_("Why holes stay open"),
                max_length=300,
                required=False,
                initial=sent["data"].get("words"),
            )
        if kind in ASKED:
            self._take_fields(*ASKED[kind], sent["data"], hunt, by, at)

    def _take_fields(
        self, page: Any, names: dict[str, str], data: dict[str, Any], hunt: Hunt, by: User, at: datetime
    ) -> None:
        blank = page(hunt=hunt, by=by, at=at)
        for name, asked in names.items():
            field = blank.fields[asked]
            field.required = field.required and name != "site"
            field.initial = data[name] if data.get(name) not in (None, "") else blank[asked].value()
            if name == "text":
                field.initial, field.help_text = data.get("text") or "", _(TEXT_HELP)
            self.fields[name] = field

    def corrected(self) -> dict[str, Any]:
        """The content as it goes into the record: plain values."""
        said = {name: value for name, value in self.cleaned_data.items() if name != "when"}
        return {name: _plain(value) for name, value in said.items()}


def _plain(value: Any) -> Any:
    if hasattr(value, "pk"):
        return value.pk
    return value if value is None or isinstance(value, str | int) else str(value)


class LeaveOutForm(BaseForm):
    why = forms.CharField(
        label=_lazy("Why it is left out"),
        max_length=300,
        help_text=_lazy("For example: recorded on the page already. Do not write the place here."),
        error_messages={"required": _lazy("Say why it is left out; the record stays, with your words.")},
    )


class FileForm(BaseForm):
    file = forms.FileField(
        label=_lazy("The file from the phone"),
        help_text=_lazy("It ends in .json. Only the account whose records it holds can send it in."),
        error_messages={"required": _lazy("Choose the file that was saved on the phone.")},
    )

    def clean_file(self) -> bytes:
        file = self.cleaned_data["file"]
        if file.size > FILE_BYTES:
            raise forms.ValidationError(
                _(
                    "“%(file_name)s” has %(file_size)s bytes, more than %(file_bytes)s; save fewer "
                    "records to a file."
                )
                % {
                    "file_name": file.name,
                    "file_size": figure(f"{file.size:,}"),
                    "file_bytes": figure(f"{FILE_BYTES:,}"),
                }
            )
        data: bytes = file.read()
        return data
