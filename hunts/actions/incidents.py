"""Record what went wrong or had to stop."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from hunts.actions.incident_photos import PreparedIncidentPhoto, attach
from hunts.actions.locks import locked_hole
from hunts.errors import HuntError
from hunts.models import Hole, Hunt, Incident, IncidentEvent, SignUp
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Site
from web.taken import create_once


@transaction.atomic
def add_incident(
    hunt: Hunt,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    photos: Sequence[PreparedIncidentPhoto] = (),
    **fields: Any,
) -> Incident:
    """Record an incident; what has to stop everything locks its place. The same `client_id` again is one row.

    Raises PermissionDenied for somebody who was not on the hunt, HuntError for a time that has not come.
    """
    require(by, Right.LOG_HOLES)
    there = Incident.objects.filter(client_id=client_id).first()
    if there is not None:
        return _own(there, by)
    if not may_record(hunt, by):
        raise PermissionDenied(
            _("You were not on %(hunt_code)s; tell its leader, %(leader_name)s.")
            % {"hunt_code": hunt.code, "leader_name": hunt.leader.name}
        )
    if fields["happened_at"] > at:
        raise HuntError(
            _("%(fields)s has not come yet; give the time when it happened.")
            % {"fields": date_format(fields["happened_at"], "j M Y, H:i")}
        )
    hole: Hole | None = fields.get("hole")
    fields.setdefault("site", hole.site if hole else hunt.sites.order_by("code").first())
    incident = _open(hunt, by=by, at=at, client_id=client_id, recorded_by=by, **fields)
    attach(incident, photos, by=by, at=at)
    return incident


@transaction.atomic
def open_incident(
    hunt: Hunt,
    kind: str,
    *,
    site: Site,
    hole: Hole | None,
    whose: User,
    by: User,
    at: datetime,
    words: str,
    since: datetime,
) -> Incident:
    """The incident that a record about this hole or ground brings about, without a place of its own.

    One hole has one open incident of a kind: a find out of a hole that was stopped joins that. `whose` met it and
    sees it, whoever typed it in. The caller has checked that `by` may make the record.
    """
    if hole is not None:
        held = locked_hole(hole.pk)  # two finds out of one hole, said at the same moment, join one incident
        there = held.incidents.open().filter(kind=kind).first()
        if there is not None:
            return there
    return _open(
        hunt,
        by=by,
        at=at,
        client_id=uuid4(),
        recorded_by=whose,
        kind=kind,
        site=site,
        hole=hole,
        happened_at=since,
        words=words,
    )


def _open(hunt: Hunt, *, by: User, at: datetime, **fields: Any) -> Incident:
    incident, is_new = create_once(Incident, hunt=hunt, locked=fields["kind"] in Incident.LOCKING, **fields)
    if not is_new:  # the same form sent twice at once
        return _own(incident, by)
    IncidentEvent.objects.create(incident=incident, verb=IncidentEvent.Verb.OPENED, by=by, at=at)
    audit.record("incident.add", incident, by=by, at=at, hunt=hunt.code, kind=incident.kind)
    return incident


def _own(incident: Incident, by: User) -> Incident:
    if incident.recorded_by_id != by.pk:
        raise PermissionDenied(_("This record was made by somebody else."))
    return incident


def may_record(hunt: Hunt, user: User) -> bool:
    """The leader, those who run hunts, and everybody who holds a place."""
    if user.pk == hunt.leader_id or user.holds(Right.RUN_HUNT):
        return True
    return SignUp.objects.standing().filter(hunt=hunt, user=user).exists()
