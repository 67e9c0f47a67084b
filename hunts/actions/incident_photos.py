"""Photographs of incidents: prepared before the transaction, kept with what they show inside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_incident
from hunts.models import Incident, IncidentPhoto
from hunts.photo_rows import keep_photo
from people import audit
from people.models import User
from people.rights import Right
from web.photos import TakenPhoto


@dataclass(frozen=True, slots=True)
class PreparedIncidentPhoto:
    """A photograph taken in and stripped."""

    taken: TakenPhoto
    caption: str = ""


def may_photograph(incident: Incident, user: User) -> bool:
    """Whoever sees it: the one who recorded it, the hunt's leader, and those who see every hole."""
    own = user.pk in {incident.recorded_by_id, incident.hunt.leader_id}
    return bool(user.roles) and (own or user.holds(Right.SEE_ALL_HOLES))


def attach(
    incident: Incident, photos: Sequence[PreparedIncidentPhoto], *, by: User, at: datetime
) -> tuple[list[IncidentPhoto], int]:
    """The photographs as they are kept with `incident`, and how many of them are new; an original is kept once."""
    kept = {row.original_sha256: row for row in incident.photos.all()}
    new = {photo.taken.sha256: photo for photo in photos if photo.taken.sha256 not in kept}
    for sha256, photo in new.items():
        row = IncidentPhoto(incident=incident, caption=photo.caption)
        kept[sha256] = keep_photo(row, photo.taken, prefix="incident", by=by, at=at)
    return [kept[photo.taken.sha256] for photo in photos], len(new)


@transaction.atomic
def add_incident_photos(
    incident_id: int, photos: Sequence[PreparedIncidentPhoto], *, by: User, at: datetime
) -> list[IncidentPhoto]:
    """Add photographs to an incident, open or closed; whoever sees it may. Those that are there are not doubled.

    Raises PermissionDenied.
    """
    incident = locked_incident(incident_id)
    if not may_photograph(incident, by):
        raise PermissionDenied(
            _(
                "Only who recorded an incident, the hunt's leader and those who see every hole add photographs."
            )
        )
    rows, added = attach(incident, photos, by=by, at=at)
    if added:
        audit.record("incident.photos", incident, by=by, at=at, hunt=incident.hunt.code, added=added)
    return rows
