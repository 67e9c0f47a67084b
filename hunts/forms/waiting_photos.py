"""The part of a form that holds photographs which came already, while the form is shown again."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from uuid import UUID

from django import forms
from django.urls import reverse
from django.utils.html import format_html
from django.utils.timezone import make_naive
from django.utils.translation import gettext_lazy as _lazy

from hunts.models import PhotoDraft
from people.models import User
from web.photos import TakenPhoto


class _Ticks(forms.MultipleChoiceField):
    """Ticks of things that may be gone by now: one that is gone is left out anyway."""

    def valid_value(self, value: Any) -> bool:
        return str(value).isdigit()


class WaitingPhotosMixin(forms.Form):
    """Mixin for a form with a hidden `client_id`: call `show_waiting` at first and before showing it again.

    `photo_slots` names its fields for photographs, which are PhotosField.
    """

    drop_photos = _Ticks(
        label=_lazy("Photographs received already"),
        help_text=_lazy("They wait until this is saved; there is no need to choose them again."),
        required=False,
        widget=forms.MultipleHiddenInput,
    )
    photo_slots: tuple[str, ...] = ("photos",)
    waiting: tuple[PhotoDraft, ...] = ()

    def show_waiting(self, by: User, at: datetime) -> None:
        """Show the photographs that came with this form before; they are kept until it is saved."""
        key = self.form_key()
        if key is None:
            return
        self.waiting = tuple(PhotoDraft.objects.visible_to(by).live(at).filter(form_key=key))
        if not self.waiting:
            return
        field: Any = self.fields["drop_photos"]
        field.widget = forms.CheckboxSelectMultiple()
        field.choices = [(str(d.pk), self._label(d, n)) for n, d in enumerate(self.waiting, 1)]

    def _label(self, draft: PhotoDraft, number: int) -> str:
        """With several fields, also which of them it came in."""
        named = len(self.photo_slots) > 1 and draft.slot in self.fields
        which = f": {self.fields[draft.slot].label}" if named else ""
        picture = '<img class="thumb" src="{}" alt="" width="48" height="48"> Leave photograph {} out{}'
        return format_html(picture, reverse("hunts:photo_waiting", args=[draft.pk]), number, which)

    def form_key(self) -> UUID | None:
        """The hidden key of this form as it was sent."""
        try:
            return UUID(str(self.data.get(self.add_prefix("client_id"), "")))
        except ValueError:
            return None

    def new_photos(self) -> list[tuple[str, TakenPhoto]]:
        """Slot and photograph of those that came with this sending and could be read, whatever became of the form."""
        fields: dict[str, Any] = self.fields
        return [(slot, taken) for slot in self.photo_slots for taken in fields[slot].taken]

    def photos_to_keep(self) -> Iterator[tuple[str, TakenPhoto]]:
        """Slot and photograph: those that waited, without the ones ticked to be left out, and then the new ones."""
        dropped = set(self.cleaned_data["drop_photos"])
        for draft in self.waiting:
            if str(draft.pk) not in dropped:
                yield draft.slot, _taken(draft)
        for slot in self.photo_slots:
            for taken in self.cleaned_data.get(slot) or []:
                yield slot, taken


def _taken(draft: PhotoDraft) -> TakenPhoto:
    return TakenPhoto(
        display=bytes(draft.display),
        thumb=bytes(draft.thumb),
        width=draft.width,
        height=draft.height,
        taken_at=make_naive(draft.taken_at) if draft.taken_at else None,
        lon=None,
        lat=None,
        accuracy_m=None,
        sha256=draft.sha256,
        kind=draft.kind,
    )
