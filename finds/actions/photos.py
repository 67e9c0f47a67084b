"""Photographs of finds: prepared before the transaction, attached inside it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from finds.models import Find, FindPhoto
from hunts.photo_rows import keep_photo
from people import audit
from people.models import User
from people.rights import Right, require
from web.photos import TakenPhoto


@dataclass(frozen=True, slots=True)
class PreparedPhoto:
    """A photograph taken in and stripped, with the view it shows."""

    taken: TakenPhoto
    view: str
    caption: str = ""
    client_id: UUID | None = None
    has_scale: bool = False


def attach(find: Find, photos: Iterable[PreparedPhoto], *, by: User, at: datetime) -> list[FindPhoto]:
    """Add photographs to `find`; one that is there already (same original) is not doubled."""
    return [_attach_one(find, photo, by=by, at=at) for photo in photos]


def _attach_one(find: Find, photo: PreparedPhoto, *, by: User, at: datetime) -> FindPhoto:
    taken = photo.taken
    there = FindPhoto.objects.filter(find=find, original_sha256=taken.sha256)
    if there.exists():
        return there[0]
    row = FindPhoto(find=find, view=photo.view, caption=photo.caption, has_scale=photo.has_scale)
    return keep_photo(row, taken, prefix="find", by=by, at=at, client_id=photo.client_id)


@transaction.atomic
def add_photos(find_id: int, photos: Iterable[PreparedPhoto], *, by: User, at: datetime) -> list[FindPhoto]:
    """Add photographs to a find that is there."""
    find = Find.objects.select_for_update(of=("self",)).select_related("hunt").get(pk=find_id)
    if by.pk not in {find.finder_id, find.hunt.leader_id}:
        require(by, Right.SEE_ALL_FINDS)
    rows = attach(find, photos, by=by, at=at)
    audit.record("find.photos", find, by=by, at=at, added=len(rows))
    return rows


@transaction.atomic
def describe_photo(
    photo_id: int, *, by: User, at: datetime, view: str, has_scale: bool, caption: str
) -> FindPhoto:
    """Say what a photograph that is there shows."""
    photo = FindPhoto.objects.select_for_update(of=("self",)).select_related("find__hunt").get(pk=photo_id)
    find = photo.find
    if by.pk not in {find.finder_id, find.hunt.leader_id}:
        require(by, Right.SEE_ALL_FINDS)
    photo.view, photo.has_scale, photo.caption = view, has_scale, caption
    photo.save(update_fields=["view", "has_scale", "caption"])
    audit.record("find.photo_shows", find, by=by, at=at, view=view, scale=has_scale)
    return photo
