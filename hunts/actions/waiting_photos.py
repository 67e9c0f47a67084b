"""Photographs of a form that has to be shown again: kept for their sender, let go once it is saved."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.timezone import make_aware

from hunts.models import PhotoDraft
from people.models import User
from people.rights import Right, require
from web.photos import TakenPhoto

KEPT_FOR = timedelta(days=2)
MOST_WAITING = 24


@transaction.atomic
def keep_photos(form_key: UUID, photos: Iterable[tuple[str, TakenPhoto]], *, by: User, at: datetime) -> int:
    """Keep photographs, each with the field it came in, for `KEPT_FOR`, and say how many of this form wait now.

    They are kept for nobody but `by`. One that waits already is not doubled; no account keeps more than
    `MOST_WAITING`: the oldest make room. Where they were taken is not kept. Drafts of anybody that have expired go.
    Raises PermissionDenied.
    """
    require(by, Right.LOG_HOLES) if not by.holds(Right.SEE_ALL_FINDS) else None
    PhotoDraft.objects.filter(expires_at__lte=at).delete()
    for slot, taken in photos:
        PhotoDraft.objects.get_or_create(
            made_by=by,
            form_key=form_key,
            slot=slot,
            sha256=taken.sha256,
            defaults={
                "made_at": at,
                "expires_at": at + KEPT_FOR,
                "display": taken.display,
                "thumb": taken.thumb,
                "width": taken.width,
                "height": taken.height,
                "taken_at": make_aware(taken.taken_at) if taken.taken_at else None,
                "kind": taken.kind,
            },
        )
    own = PhotoDraft.objects.filter(made_by=by).order_by("-pk").values_list("pk", flat=True)
    PhotoDraft.objects.filter(pk__in=list(own[MOST_WAITING:])).delete()
    return PhotoDraft.objects.filter(made_by=by, form_key=form_key).count()


@transaction.atomic
def let_photos_go(form_key: UUID, *, by: User, at: datetime) -> None:
    """Forget what waited for a form that is saved, and whatever of anybody's has expired."""
    PhotoDraft.objects.filter(made_by=by, form_key=form_key).delete()
    PhotoDraft.objects.filter(expires_at__lte=at).delete()
