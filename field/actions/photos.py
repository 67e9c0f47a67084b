"""Photographs in parts: begun once, each part at its place, whole ones attached to what they show."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Model, Sum
from django.utils.translation import gettext as _

from field.models import PhotoPart, PhotoUpload
from people import audit
from people.models import User
from people.rights import Right, require
from web.photos import MAX_BYTES, size_words

State = PhotoUpload.State
MOST_PART = 256 * 1024
MOST_WAITING = 600 * 1024 * 1024
"""Bytes of one account that wait for their records: a safeguard of the database, far above a day's photographs."""


class PhotoSentError(Exception):
    """A photograph that cannot be begun like this; the sentence says what to do."""


@dataclass(frozen=True, slots=True)
class PhotoTurn:
    """What is there of a photograph now, and whether the part that came was the next one."""

    upload: PhotoUpload
    fits: bool


@transaction.atomic
def begin_photo(*, by: User, at: datetime, client_id: UUID, **fields: Any) -> PhotoUpload:
    """The row of a photograph, made once; its parts follow. Raises PhotoSentError, PermissionDenied."""
    require(by, Right.LOG_HOLES)
    _check_room(by, fields["size"])
    row, is_new = PhotoUpload.objects.get_or_create(
        client_id=client_id, defaults=fields | {"owner": by, "begun_at": at}
    )
    if row.owner_id != by.pk:
        raise PermissionDenied(_("A photograph of another account has this key."))
    if not is_new and (row.size, row.sha256) != (fields["size"], fields["sha256"]):
        raise PhotoSentError(
            _("Another photograph was begun under this key; give this one a key of its own.")
        )
    return row


def _check_room(by: User, size: int) -> None:
    if size > MAX_BYTES:
        raise PhotoSentError(
            _("The photograph has %(size_words)s; send a smaller copy of at most %(value)s.")
            % {"size_words": size_words(size), "value": size_words(MAX_BYTES)}
        )
    waiting = PhotoUpload.objects.filter(owner=by, state=State.WAITING).aggregate(n=Sum("received"))["n"] or 0
    if waiting + size > MOST_WAITING:
        raise PhotoSentError(
            _(
                "%(size_words)s of your photographs wait for their records; send the records first, or "
                "see to those that need you."
            )
            % {"size_words": size_words(waiting)}
        )


@transaction.atomic
def add_part(upload_id: int, data: bytes, *, starts: int, by: User, at: datetime) -> PhotoTurn:
    """Keep the next bytes. A part that does not begin where the last one ended changes nothing, and is told."""
    row = PhotoUpload.objects.select_for_update(of=("self",)).get(pk=upload_id, owner=by)
    if row.state != State.WAITING or starts != row.received or starts + len(data) > row.size:
        return PhotoTurn(row, fits=row.state != State.WAITING and starts + len(data) <= row.received)
    if data:
        PhotoPart.objects.create(upload=row, starts=starts, data=data)
        row.received += len(data)
        row.save(update_fields=["received"])
    return PhotoTurn(row, fits=True)


def whole(upload: PhotoUpload) -> bytes:
    """The bytes that came, in order."""
    return b"".join(bytes(part) for part in upload.parts.values_list("data", flat=True))


def is_as_sent(upload: PhotoUpload, data: bytes) -> bool:
    """Is this what the phone has? Compared by SHA-256."""
    return hashlib.sha256(data).hexdigest() == upload.sha256


@transaction.atomic
def finish_photo(
    upload_id: int, *, by: User, at: datetime, attach: Callable[[], Model] | None, why: str = ""
) -> PhotoUpload:
    """Attach a whole photograph by calling `attach` and forget its parts; or park it with `why`; or, with neither,
    begin it anew, because it did not arrive as it was sent. Twice is once; what its owner left out stays left out."""
    row = PhotoUpload.objects.select_for_update(of=("self",)).get(pk=upload_id, owner=by)
    if row.state in {State.STORED, State.LEFT_OUT}:
        return row
    if attach is not None:
        made = attach()
        row.state, row.settled_at, row.why = State.STORED, at, ""
        row.parts.all().delete()
        audit.record("phone.photo", row, by=by, at=at, of=audit.subject_of(made))
    elif why:
        row.state, row.why = State.PARKED, why
    else:
        row.state, row.received, row.why = State.WAITING, 0, ""
        row.parts.all().delete()
    row.save()
    return row


@transaction.atomic
def leave_photo_out(upload_id: int, *, by: User, at: datetime) -> PhotoUpload:
    """Its owner lets a parked photograph go: the row stays, its bytes do not."""
    row = PhotoUpload.objects.select_for_update(of=("self",)).get(pk=upload_id, owner=by)
    if row.state == State.PARKED:
        row.state, row.settled_at = State.LEFT_OUT, at
        row.parts.all().delete()
        row.save()
        audit.record("phone.photo_left_out", row, by=by, at=at)
    return row
