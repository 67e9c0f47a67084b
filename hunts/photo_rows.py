"""Keep a photograph that was taken in: the columns and the two private files that every kind of photograph has."""

from datetime import datetime
from typing import TypeVar
from uuid import UUID, uuid4

from django.core.files.base import ContentFile
from django.utils.timezone import make_aware

from hunts.models.hole import PhotoModel
from people.models import User
from web.files import private_name
from web.photos import TakenPhoto

P = TypeVar("P", bound=PhotoModel)


def keep_photo(
    row: P, taken: TakenPhoto, *, prefix: str, by: User, at: datetime, client_id: UUID | None = None
) -> P:
    """Fill the unsaved `row` from `taken`, store its files under private names that begin with `prefix`, save it.

    Call it inside the action's transaction; the picture itself was worked on before.
    """
    row.client_id = client_id or uuid4()
    row.width, row.height = taken.width, taken.height
    row.taken_at = make_aware(taken.taken_at) if taken.taken_at else None
    row.original_sha256 = taken.sha256
    row.added_at, row.added_by = at, by
    row.display.save(private_name(prefix, "jpg"), ContentFile(taken.display), save=False)
    row.thumb.save(private_name(f"{prefix}-thumb", "jpg"), ContentFile(taken.thumb), save=False)
    row.save()
    return row
