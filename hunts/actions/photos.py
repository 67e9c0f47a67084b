"""Photographs of holes: prepared before the transaction, attached inside it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hole
from hunts.models import Hole, HolePhoto
from hunts.photo_rows import keep_photo
from people import audit
from people.models import User
from people.rights import Right
from web.photos import TakenPhoto


@dataclass(frozen=True, slots=True)
class PreparedHolePhoto:
    """A photograph taken in and stripped, with the stage of the hole it shows."""

    taken: TakenPhoto
    stage: str
    caption: str = ""


def attach(hole: Hole, photos: Iterable[PreparedHolePhoto], *, by: User, at: datetime) -> list[HolePhoto]:
    """Add photographs to `hole`; the same original at the same stage is not doubled."""
    return [_attach_one(hole, photo, by=by, at=at) for photo in photos]


def _attach_one(hole: Hole, photo: PreparedHolePhoto, *, by: User, at: datetime) -> HolePhoto:
    taken = photo.taken
    there = HolePhoto.objects.filter(hole=hole, original_sha256=taken.sha256, stage=photo.stage)
    if there.exists():
        return there[0]
    row = HolePhoto(hole=hole, stage=photo.stage, caption=photo.caption)
    return keep_photo(row, taken, prefix="hole", by=by, at=at)


@transaction.atomic
def add_hole_photos(
    hole_id: int, photos: Iterable[PreparedHolePhoto], *, by: User, at: datetime
) -> list[HolePhoto]:
    """Add photographs to a hole; its digger, the hunt's leader and those who check holes may."""
    hole = locked_hole(hole_id)
    if by.pk not in {hole.digger_id, hole.hunt.leader_id} and not by.holds(Right.CHECK_HOLES):
        raise PermissionDenied(
            _("Only the digger, the hunt's leader and the steward add photographs of a hole.")
        )
    rows = attach(hole, photos, by=by, at=at)
    audit.record("hole.photos", hole, by=by, at=at, hunt=hole.hunt.code, added=len(rows))
    return rows
