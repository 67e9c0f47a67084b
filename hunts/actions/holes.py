"""Log and change holes."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Max
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.actions.incidents import add_incident
from hunts.actions.locks import locked_hole, locked_hunt
from hunts.actions.photos import PreparedHolePhoto, attach
from hunts.errors import HoleDateError, HoleError
from hunts.models import Hole, Hunt, Incident, SignUp
from hunts.models.hole import Outcome
from hunts.placing import judge, placing_columns
from hunts.states import HoleState, HuntState
from people import audit
from people.models import User
from people.rights import Right, require
from web.once import made_before
from web.position_model import PositionModel

PLACE = frozenset(field.name for field in PositionModel._meta.get_fields())
"""Columns that never reach the audit trail."""


@transaction.atomic
def log_hole(
    hunt_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    filled: bool = False,
    stopped_for: str = "",
    photos: Iterable[PreparedHolePhoto] = (),
    filled_at: datetime | None = None,
    let_in_by: User | None = None,
    **fields: Any,
) -> Hole:
    """Log a hole with the next number of its hunt; the same `client_id` again returns the hole that is there.

    The position is judged against the boundary that the hunt keeps. An outcome of `stopped` opens an incident
    of kind `stopped_for` and locks the place. `filled_at` is when it was filled, where that was before `at`.
    `let_in_by` runs hunts and lets a hole in that comes while the hunt does not run.
    Raises HoleDateError, HoleError, PermissionDenied.
    """
    require(by, Right.LOG_HOLES)
    hunt = locked_hunt(hunt_id)
    there = made_before(Hole.objects.all(), client_id)
    if there is not None:
        return own(there, by)
    standing = SignUp.objects.people_on(hunt.pk).filter(user=fields["digger"])
    check_may_log(hunt, by, fields["digger"], let_in_by, standing=standing)
    check_date(hunt, fields["dug_at"], at=at)
    hole = Hole(client_id=client_id, hunt=hunt, number=last_number(hunt) + 1, **fields)
    fill_in(hole, fields, filled_at=(filled_at or at) if filled else None, by=by)
    hole.save(force_insert=True)
    attach(hole, photos, by=by, at=at)
    late = {"let_in_by": let_in_by.name} if let_in_by else {}
    audit.record("hole.log", hole, by=by, at=at, **said_of(hole), **late)
    if hole.outcome == Outcome.STOPPED:
        open_incident_of(hole, stopped_for, by=by, at=at)
    return hole


def fill_in(hole: Hole, place: dict[str, Any], *, filled_at: datetime | None, by: User) -> None:
    """What follows from a new hole's place and outcome; `filled_at` None leaves it open."""
    for name, value in placing_columns(judge(hole.hunt, hole.site, place)).items():
        setattr(hole, name, value)
    hole.locked = hole.outcome == Outcome.STOPPED
    if filled_at and not hole.locked:
        hole.state, hole.filled_at, hole.filled_by = HoleState.FILLED, filled_at, by


def said_of(hole: Hole) -> dict[str, str]:
    """What the trail keeps of a new hole: never its place."""
    return {"hunt": hole.hunt.code, "outcome": hole.outcome, "placing": hole.placing}


def own(hole: Hole, by: User) -> Hole:
    if by.pk not in {hole.digger_id, hole.hunt.leader_id}:
        raise PermissionDenied(_("This record was made by somebody else."))
    return hole


def check_may_log(
    hunt: Hunt, by: User, digger: User, let_in_by: User | None, *, standing: Iterable[int]
) -> None:
    """`standing`: the keys of those who hold a place. Raises HoleError, PermissionDenied."""
    if hunt.state != HuntState.RUNNING and not _is_let_in(hunt, let_in_by):
        raise HoleError(
            _(
                "%(hunt_code)s is %(hunt_state)s; holes are logged while it runs. Ask the leader, "
                "%(leader_name)s."
            )
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state), "leader_name": hunt.leader.name}
        )
    if by.pk not in {digger.pk, hunt.leader_id}:
        raise PermissionDenied(_("You may log your own holes, and those of hunts you lead."))
    if digger.pk != hunt.leader_id and digger.pk not in standing:
        raise PermissionDenied(
            _("%(digger_name)s holds no place on %(hunt_code)s; sign up first, then log holes.")
            % {"digger_name": digger.name, "hunt_code": hunt.code}
        )


def _is_let_in(hunt: Hunt, let_in_by: User | None) -> bool:
    """Whoever runs hunts vouches for a hole that comes while the hunt does not run: it was opened, so people came."""
    if let_in_by is None or hunt.state == HuntState.PLANNED:
        return False
    if let_in_by.pk != hunt.leader_id:
        require(let_in_by, Right.RUN_HUNT)
    return True


def check_date(hunt: Hunt, dug_at: datetime, *, at: datetime) -> None:
    if dug_at > at or localdate(dug_at) != hunt.on:
        raise HoleDateError(dug_at, hunt.code, hunt.on, at=at)


def last_number(hunt: Hunt) -> int:
    """The last number given within the hunt; its row is locked, so no two holes get the next."""
    last: int | None = Hole.objects.filter(hunt=hunt).aggregate(last=Max("number"))["last"]
    return last or 0


def open_incident_of(hole: Hole, kind: str, *, by: User, at: datetime) -> Incident:
    """The incident of a stopped hole: one for each thing that stopped it."""
    there = (hole.incidents.filter(kind=kind) if kind else hole.incidents.all()).first()
    if there is not None:
        return there
    place = {name: getattr(hole, name) for name in PLACE}
    stopped = _("Digging stopped at hole %(hole_number)s.") % {"hole_number": hole.number}
    words = f"{stopped} {hole.notes}".strip()
    return add_incident(
        hole.hunt,
        by=by,
        at=at,
        client_id=uuid4(),
        kind=kind or Incident.Kind.OTHER,
        hole=hole,
        happened_at=hole.dug_at,
        words=words,
        **place,
    )


@transaction.atomic
def change_hole(
    hole_id: int,
    *,
    by: User,
    at: datetime,
    stopped_for: str = "",
    photos: Iterable[PreparedHolePhoto] = (),
    let_in_by: User | None = None,
    **fields: Any,
) -> Hole:
    """Change a hole until its hunt is closed; the place is judged again when place or site change.

    `let_in_by` runs hunts and lets a change in that comes later. Raises HoleError once the hunt is closed,
    HoleDateError.
    """
    hole = locked_hole(hole_id)
    if by.pk not in {hole.digger_id, hole.hunt.leader_id}:
        require(by, Right.SEE_ALL_HOLES)
    if hole.hunt.state != HuntState.RUNNING and not _is_let_in(hole.hunt, let_in_by):
        raise HoleError(
            _("%(hunt_code)s is %(hunt_state)s; hole %(hole_number)s stays as it was logged.")
            % {"hunt_code": hole.hunt.code, "hunt_state": _(hole.hunt.state), "hole_number": hole.number}
        )
    check_date(hole.hunt, fields.get("dug_at", hole.dug_at), at=at)
    changed = [name for name, value in fields.items() if getattr(hole, name) != value]
    for name in changed:
        setattr(hole, name, fields[name])
    place = {name: getattr(hole, name) for name in PLACE}
    for name, value in placing_columns(judge(hole.hunt, hole.site, place)).items():
        setattr(hole, name, value)
    stopped = hole.outcome == Outcome.STOPPED
    hole.locked = hole.locked or stopped
    hole.save()
    attach(hole, photos, by=by, at=at)
    audit.record("hole.change", hole, by=by, at=at, hunt=hole.hunt.code, changed=sorted(set(changed) - PLACE))
    if stopped:
        open_incident_of(hole, stopped_for, by=by, at=at)
    return hole
