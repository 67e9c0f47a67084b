"""Whole photographs meet their records: taken in, stripped, attached."""

from collections.abc import Callable, Sequence
from datetime import datetime
from io import BytesIO
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import Model
from django.utils.translation import gettext as _

from field.actions import finish_photo
from field.actions.photos import is_as_sent, whole
from field.models import PhoneRecord, PhotoUpload
from field.models.record import State
from finds.actions import add_photos
from finds.actions.photos import PreparedPhoto
from finds.models import Find, FindPhoto
from hunts.actions import PreparedHolePhoto, PreparedIncidentPhoto, add_hole_photos, add_incident_photos
from hunts.models import Hole, HolePhoto, Incident
from people.models import User
from tongue import noop
from web.photos import PhotoError, TakenPhoto, take_in

Owner = Hole | Find | Incident
SCENE = "scene"
SHOWS = {
    "hole": HolePhoto.Stage.values,
    "find": FindPhoto.View.values,
    # A hole's stages too: pages named them while an incident's photographs were kept with its hole.
    "incident": [SCENE, *HolePhoto.Stage.values],
}
TRIED = frozenset({PhotoUpload.State.WAITING, PhotoUpload.State.PARKED})
GONE = noop("The record that it shows was left out.")
NOT_SEEN = noop(
    "The record that it shows is not among those you see now. Ask the hunt’s leader, then try again."
)


class _Whole(BytesIO):
    """The bytes that came, as an upload."""

    def __init__(self, data: bytes, name: str) -> None:
        super().__init__(data)
        self.name: Any = name
        self.size: Any = len(data)


def try_photo(upload: PhotoUpload, *, by: User, at: datetime) -> PhotoUpload:
    """Attach a photograph whose bytes are all there to its record, if that is there too; else it waits.

    What did not arrive as it was sent begins anew; what is no photograph is parked, with its bytes. One that is parked
    is tried whenever its phone or its owner asks: what stood in its way may be gone.
    """
    if upload.state not in TRIED or upload.received != upload.size:
        return upload
    owner = _owner(upload, by)
    if owner is None:
        return _without(upload, by=by, at=at)
    data = whole(upload)
    if not is_as_sent(upload, data):
        return finish_photo(upload.pk, by=by, at=at, attach=None)
    try:
        taken = take_in(_Whole(data, upload.name or "photograph"))
        return finish_photo(upload.pk, by=by, at=at, attach=_attaching(upload, owner, taken, by=by, at=at))
    except (PhotoError, PermissionDenied) as error:
        return finish_photo(upload.pk, by=by, at=at, attach=None, why=str(error))


def _owner(upload: PhotoUpload, by: User) -> Owner | None:
    """The hole, find or incident that it shows, if it is there and its sender sees it."""
    if upload.of == "find":
        return Find.objects.visible_to(by).filter(client_id=upload.record).first()
    if upload.of == "hole":
        return Hole.objects.visible_to(by).filter(client_id=upload.record).first()
    return Incident.objects.visible_to(by).filter(client_id=upload.record).first()


def _without(upload: PhotoUpload, *, by: User, at: datetime) -> PhotoUpload:
    """It waits for its record, or is parked because there will be none."""
    row = PhoneRecord.objects.own_of(by).filter(client_id=upload.record).first()
    if row is None or row.state == State.PARKED:
        return upload
    why = _(GONE) if row.state == State.LEFT_OUT else _(NOT_SEEN)
    return finish_photo(upload.pk, by=by, at=at, attach=None, why=why)


def _attaching(
    upload: PhotoUpload, owner: Owner, taken: TakenPhoto, *, by: User, at: datetime
) -> Callable[[], Model]:
    def attach() -> Model:
        rows: Sequence[Model]
        if isinstance(owner, Find):
            ready = PreparedPhoto(taken, upload.shows, client_id=upload.client_id)
            rows = add_photos(owner.pk, [ready], by=by, at=at)
        elif isinstance(owner, Incident):
            rows = add_incident_photos(owner.pk, [PreparedIncidentPhoto(taken)], by=by, at=at)
        else:
            rows = add_hole_photos(owner.pk, [PreparedHolePhoto(taken, upload.shows)], by=by, at=at)
        return rows[0]

    return attach


def try_waiting(records: list[UUID], *, by: User, at: datetime, most: int = 3) -> None:
    """A few whole photographs of records that were just stored; the phone asks for the rest one by one."""
    rows = PhotoUpload.objects.visible_to(by).complete().filter(record__in=records)
    for upload in rows[:most]:
        try_photo(upload, by=by, at=at)
