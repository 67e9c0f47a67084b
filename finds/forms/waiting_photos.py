"""The part of the find form that holds photographs which came already, while the form is shown again."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django import forms
from django.urls import reverse
from django.utils.html import format_html
from django.utils.timezone import make_naive

from finds.actions.photos import PreparedPhoto
from finds.models import PhotoDraft
from people.models import User
from web.photo_field import PhotosField
from web.photos import TakenPhoto


class _Ticks(forms.MultipleChoiceField):
    """Ticks of things that may be gone by now: one that is gone is left out anyway."""

    def valid_value(self, value: Any) -> bool:
        return str(value).isdigit()


class WaitingPhotosMixin(forms.Form):
    """Mixin for a find's form with a hidden `client_id`: call `show_waiting` at first and before showing it again."""

    photos = PhotosField(
        label="Photographs", required=False, help_text="Both faces, the edge, and a scale beside it."
    )
    drop_photos = _Ticks(
        label="Photographs received already", required=False, widget=forms.MultipleHiddenInput
    )
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
        field.help_text = "They wait until this is saved; there is no need to choose them again."
        field.widget = forms.CheckboxSelectMultiple()
        field.choices = [(str(d.pk), _label(d, n)) for n, d in enumerate(self.waiting, 1)]

    def form_key(self) -> UUID | None:
        """The hidden key of this form as it was sent."""
        try:
            return UUID(str(self.data.get(self.add_prefix("client_id"), "")))
        except ValueError:
            return None

    def new_photos(self) -> list[TakenPhoto]:
        """Those that came with this sending and could be read, also when the form as a whole could not."""
        field: Any = self.fields["photos"]
        return list(field.taken)

    def prepared_photos(self) -> list[PreparedPhoto]:
        """What to attach to the find: those that waited, without the ones ticked to be left out, and the new ones."""
        dropped = set(self.cleaned_data["drop_photos"])
        waited = [_taken(draft) for draft in self.waiting if str(draft.pk) not in dropped]
        return [PreparedPhoto(taken, "face") for taken in [*waited, *self.cleaned_data["photos"]]]


def _label(draft: PhotoDraft, number: int) -> str:
    picture = '<img class="thumb" src="{}" alt="" width="48" height="48"> Leave photograph {} out'
    return format_html(picture, reverse("finds:photo_waiting", args=[draft.pk]), number)


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
