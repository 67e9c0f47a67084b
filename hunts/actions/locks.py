"""Rows fetched for change: one writer at a time."""

from hunts.models import Hole, Hunt, Incident


def locked_hunt(hunt_id: int) -> Hunt:
    """The hunt, locked until the transaction ends. Places and hole numbers are counted under this lock.

    Few of those who take it ask for the leader or the permission, whose row is the widest of all: they read it then.
    """
    return Hunt.objects.select_for_update().get(pk=hunt_id)


def locked_hole(hole_id: int) -> Hole:
    """The hole with its hunt, locked until the transaction ends. Few ask for its site: they read it then."""
    return Hole.objects.select_for_update(of=("self",)).select_related("hunt").get(pk=hole_id)


def locked_incident(incident_id: int) -> Incident:
    """The incident, locked until the transaction ends."""
    rows = Incident.objects.select_for_update(of=("self",)).select_related("hunt", "hole")
    return rows.get(pk=incident_id)
