"""What becomes of an incident: drill done, taken over, hunt let go on, closed, place opened."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_incident
from hunts.errors import HuntError
from hunts.models import Incident, IncidentEvent
from people import audit
from people.actions import watch_reading
from people.models import User
from people.rights import Right, require

Verb = IncidentEvent.Verb


def leads(incident: Incident, user: User) -> bool:
    """The hunt's leader and the committee: they take over, let the hunt go on, and close."""
    return bool(user.roles) and (incident.hunt.leader_id == user.pk or user.holds(Right.REVIEW_CASES))


def _led(incident_id: int, by: User) -> Incident:
    incident = locked_incident(incident_id)
    if not leads(incident, by):
        raise PermissionDenied(_("Only the hunt's leader and the committee say how an incident goes on."))
    return incident


def note(incident: Incident, verb: str, *, by: User | None, at: datetime, words: str = "") -> None:
    """Add a line to the history and, without its words, to the trail. Call inside a transaction."""
    IncidentEvent.objects.create(incident=incident, verb=verb, by=by, at=at, words=words)
    audit.record(f"incident.{verb.replace(' ', '_')}", incident, by=by, at=at)


@transaction.atomic
def do_drill(incident_id: int, *, by: User, at: datetime) -> None:
    """Somebody says that they did what the drill says. Twice is once; the caller has checked that they see it."""
    require(by, Right.LOG_HOLES) if not by.holds(Right.SEE_ALL_HOLES) else None
    incident = locked_incident(incident_id)
    if not incident.events.filter(verb=Verb.DONE, by=by).exists():
        note(incident, Verb.DONE, by=by, at=at)


@transaction.atomic
def take_over(incident_id: int, *, by: User, at: datetime) -> Incident:
    """The leader or the committee has taken over; the first one stands."""
    incident = _led(incident_id, by)
    if incident.taken_over_at is None:
        incident.taken_over_at, incident.taken_over_by = at, by
        incident.save(update_fields=["taken_over_at", "taken_over_by"])
        note(incident, Verb.TAKEN_OVER, by=by, at=at)
    return incident


@transaction.atomic
def lift_stop(incident_id: int, *, by: User, at: datetime, why: str) -> Incident:
    """The hunt may go on, with the reason. Twice is once. Raises HuntError without a reason."""
    incident = _led(incident_id, by)
    if incident.stop_lifted_at is None:
        if not why.strip():
            raise HuntError(_("Say why the hunt may go on: who said so, and what is kept clear."))
        incident.stop_lifted_at = at
        incident.save(update_fields=["stop_lifted_at"])
        note(incident, Verb.LIFTED, by=by, at=at, words=why.strip())
    return incident


@transaction.atomic
def close_incident(incident_id: int, *, by: User, at: datetime, outcome: str) -> Incident:
    """It has ended, with how in words. Twice is once. The place stays locked until the committee opens it.

    Raises HuntError without an outcome.
    """
    incident = _led(incident_id, by)
    if incident.closed_at is None:
        if not outcome.strip():
            raise HuntError(
                _("Say how it ended: who came, what they decided, and whether the place is safe.")
            )
        incident.closed_at, incident.closed_by, incident.outcome = at, by, outcome.strip()
        incident.save(update_fields=["closed_at", "closed_by", "outcome"])
        note(incident, Verb.CLOSED, by=by, at=at, words=incident.outcome)
    return incident


@transaction.atomic
def free_incident(incident_id: int, *, by: User, at: datetime, why: str) -> Incident:
    """The committee ends the lock that this incident put on a place. Twice is once.

    Raises HuntError while the incident is open, or without a reason.
    """
    require(by, Right.REVIEW_CASES)
    incident = locked_incident(incident_id)
    if incident.closed_at is None:
        raise HuntError(
            _("The place stays locked while the incident is open; close it first, with its outcome.")
        )
    if incident.locked:
        if not why.strip():
            raise HuntError(_("Say why the place may be shown again."))
        incident.locked = False
        incident.save(update_fields=["locked"])
        note(incident, Verb.FREED, by=by, at=at, words=why.strip())
    return incident


@transaction.atomic
def renew_incident(incident: Incident, *, by: User, at: datetime, words: str) -> Incident:
    """It is said again after it was taken back: the incident is open, locked and stops the hunt once more."""
    row = locked_incident(incident.pk)
    row.closed_at = row.closed_by = row.stop_lifted_at = row.taken_over_at = row.taken_over_by = None
    row.outcome, row.locked = "", row.kind in Incident.LOCKING
    row.save()
    note(row, Verb.SAID_AGAIN, by=by, at=at, words=words)
    return row


@transaction.atomic
def take_back(incident: Incident, *, by: User, at: datetime, why: str) -> None:
    """Keep why somebody took back what had opened the incident; the incident itself stays as it is."""
    note(locked_incident(incident.pk), Verb.TAKEN_BACK, by=by, at=at, words=why)


@transaction.atomic
def see_incident(incident: Incident, *, by: User, at: datetime, where: str) -> None:
    """Record that somebody saw the full place of a locked incident."""
    if not by.roles:
        raise PermissionDenied(_("Only members see incidents."))
    audit.record("incident.see", incident, by=by, at=at, where=where)
    watch_reading(by=by, at=at)
