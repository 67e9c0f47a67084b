"""Filling, checking, reopening and locking holes."""

from collections.abc import Iterable
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.locks import locked_hole
from hunts.actions.photos import PreparedHolePhoto, attach
from hunts.errors import HoleError
from hunts.models import Hole
from hunts.models.hole import Outcome
from hunts.states import HOLE_MOVES, HoleState
from people import audit
from people.actions import watch_reading
from people.models import User
from people.rights import Right, require
from web.states import check_move


@transaction.atomic
def fill_hole(
    hole_id: int,
    *,
    by: User,
    at: datetime,
    photos: Iterable[PreparedHolePhoto] = (),
    filled_at: datetime | None = None,
) -> Hole:
    """Record that a hole is filled, also after the hunt is closed. Twice is once.

    `filled_at` is when it was filled, where that was before `at`.
    Raises HoleError for a hole that was stopped: those who check holes say when it may be filled.
    """
    hole = locked_hole(hole_id)
    if by.pk not in {hole.digger_id, hole.hunt.leader_id}:
        require(by, Right.CHECK_HOLES)
    if hole.outcome == Outcome.STOPPED and not by.holds(Right.CHECK_HOLES):
        raise HoleError(
            _(
                "Digging stopped at hole %(hole_number)s; leave it as it is until those who were called "
                "have seen it. The leader records when it is filled."
            )
            % {"hole_number": hole.number}
        )
    attach(hole, photos, by=by, at=at)
    if hole.state == HoleState.DUG:
        hole.state, hole.filled_at, hole.filled_by = HoleState.FILLED, filled_at or at, by
        hole.save(update_fields=["state", "filled_at", "filled_by"])
        audit.record("hole.fill", hole, by=by, at=at, hunt=hole.hunt.code)
    return hole


@transaction.atomic
def check_hole(hole_id: int, *, by: User, at: datetime) -> Hole:
    """The steward finds it well filled. Nobody checks a hole of their own. Twice is once.

    Raises HoleError for one's own hole, IllegalMoveError for a hole that is not filled.
    """
    require(by, Right.CHECK_HOLES)
    hole = locked_hole(hole_id)
    if hole.state == HoleState.CHECKED:
        return hole
    if hole.digger_id == by.pk:
        raise HoleError(
            _("You dug hole %(hole_number)s yourself; somebody else has to check it.")
            % {"hole_number": hole.number}
        )
    check_move(HOLE_MOVES, HoleState(hole.state), HoleState.CHECKED)
    hole.state, hole.checked_at, hole.checked_by = HoleState.CHECKED, at, by
    hole.save(update_fields=["state", "checked_at", "checked_by"])
    audit.record("hole.check", hole, by=by, at=at, hunt=hole.hunt.code)
    return hole


@transaction.atomic
def reopen_hole(hole_id: int, *, by: User, at: datetime, why: str) -> Hole:
    """A check failed: the hole is open again until it is filled anew.

    Raises HoleError without a reason, IllegalMoveError for a hole that is open.
    """
    require(by, Right.CHECK_HOLES)
    hole = locked_hole(hole_id)
    check_move(HOLE_MOVES, HoleState(hole.state), HoleState.DUG)
    if not why.strip():
        raise HoleError(
            _("Say what is wrong with hole %(hole_number)s, so that the digger can mend it.")
            % {"hole_number": hole.number}
        )
    hole.state, hole.reopened_why = HoleState.DUG, why.strip()
    hole.filled_at = hole.filled_by = hole.checked_at = hole.checked_by = None
    hole.save(update_fields=["state", "reopened_why", "filled_at", "filled_by", "checked_at", "checked_by"])
    audit.record("hole.reopen", hole, by=by, at=at, hunt=hole.hunt.code, why=hole.reopened_why)
    return hole


@transaction.atomic
def lock_hole(hole: Hole, *, by: User | None, at: datetime) -> None:
    """Close the place of a hole to all but digger, leader and committee: a find from it may carry a duty."""
    _set_lock(hole, True, by=by, at=at)


@transaction.atomic
def unlock_hole(hole: Hole, *, by: User | None, at: datetime) -> None:
    """Open the place again. A hole that was stopped for bones, ordnance or a deposit stays locked."""
    if not hole.incidents.filter(locked=True).exists():
        _set_lock(hole, False, by=by, at=at)


def _set_lock(hole: Hole, locked: bool, *, by: User | None, at: datetime) -> None:
    if Hole.objects.filter(pk=hole.pk, locked=not locked).update(locked=locked):
        audit.record("hole.lock" if locked else "hole.unlock", hole, by=by, at=at)
    hole.locked = locked


@transaction.atomic
def see_hole(hole: Hole, *, by: User, at: datetime, where: str) -> None:
    """Record that somebody saw the full place of a locked hole."""
    if not by.roles:
        raise PermissionDenied(_("Only members see holes."))
    audit.record("hole.see", hole, by=by, at=at, where=where)
    watch_reading(by=by, at=at)
