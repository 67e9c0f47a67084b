"""Where holes and incidents lie, as a reader may see it; each full view of a locked one is recorded."""

from datetime import datetime

from geo.position import Country
from hunts.actions import see_hole, see_incident
from hunts.models import Hole, Incident
from people.models import User
from people.rights import Right
from people.sensitivity import Precision, Reader, ShownPoint, precision_for, show_point


def reader_of(row: Hole | Incident, user: User) -> Reader:
    """What `user` is to this hole or incident. `row.hunt` should be loaded."""
    owner = row.digger_id if isinstance(row, Hole) else row.recorded_by_id
    return Reader(
        is_finder=owner == user.pk,
        leads_hunt=row.hunt.leader_id == user.pk,
        is_member=bool(user.roles),
        sees_findspots=user.holds(Right.SEE_FINDSPOTS),
        sees_locked=user.holds(Right.SEE_LOCKED_FINDSPOTS),
    )


def point_of(hole: Hole, user: User) -> ShownPoint | None:
    """The hole's place as `user` may see it, without recording that it was seen: for maps and lists.

    Lists and maps leave locked holes out; ask `shown_to` on the hole's own page.
    """
    precision = precision_for(reader_of(hole, user), locked=hole.locked)
    return show_point(hole.lon, hole.lat, hole.accuracy_m, precision=precision, country=hole.site.country)


def shown_to(hole: Hole, user: User, *, at: datetime, where: str) -> ShownPoint | None:
    """The hole's place for a page or file named `where`; a locked one shown in full is recorded first."""
    point = point_of(hole, user)
    if point is not None and hole.locked and point.precision is Precision.FULL:
        see_hole(hole, by=user, at=at, where=where)
    return point


def incident_point(incident: Incident, user: User, country: Country) -> ShownPoint | None:
    """An incident's place for lists; the place of a locked one is read on its own page, where that is recorded."""
    if incident.locked:
        return None
    precision = precision_for(reader_of(incident, user), locked=False)
    return show_point(incident.lon, incident.lat, incident.accuracy_m, precision=precision, country=country)


def incident_shown_to(
    incident: Incident, user: User, country: Country, *, at: datetime, where: str
) -> ShownPoint | None:
    """An incident's own place for a page named `where`; a locked one shown in full is recorded first."""
    precision = precision_for(reader_of(incident, user), locked=incident.locked)
    point = show_point(incident.lon, incident.lat, incident.accuracy_m, precision=precision, country=country)
    if point is not None and incident.locked and precision is Precision.FULL:
        see_incident(incident, by=user, at=at, where=where)
    return point
