"""Write permissions down, change their terms and move them between their states."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction

from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Permission, Site
from permissions.states import MOVES, State
from web.states import check_move
from web.taken import create_once


@transaction.atomic
def add_permission(
    *, by: User, at: datetime, sites: Iterable[Site], named_people: Iterable[User] = (), **fields: Any
) -> Permission:
    """Write down a permission over `sites` as a draft. Raises TakenError for a reference in use."""
    require(by, Right.MANAGE_PERMISSIONS)
    row, made = create_once(Permission, unique="reference", **fields)
    if made:
        row.sites.set(sites)
        row.named_people.set(named_people)
        audit.record("permission.add", row, by=by, at=at, sites=[s.code for s in sites])
    return row


@transaction.atomic
def change_permission(
    permission_id: int,
    *,
    by: User,
    at: datetime,
    sites: Iterable[Site],
    named_people: Iterable[User] = (),
    **fields: Any,
) -> Permission:
    """Change sites, dates and terms; the trail keeps every value that changed, before and after."""
    require(by, Right.MANAGE_PERMISSIONS)
    row = Permission.objects.select_for_update().get(pk=permission_id)
    changes = {n: [str(getattr(row, n)), str(v)] for n, v in fields.items() if getattr(row, n) != v}
    for name in changes:
        setattr(row, name, fields[name])
    before, after = sorted(s.code for s in row.sites.all()), sorted(s.code for s in sites)
    if before != after:
        changes["sites"] = [", ".join(before), ", ".join(after)]
    row.save(update_fields=[n for n in changes if n != "sites"] or ["title"])
    row.sites.set(sites)
    row.named_people.set(named_people)
    audit.record("permission.change", row, by=by, at=at, values=changes)
    return row


@transaction.atomic
def move_permission(permission_id: int, to: State, *, by: User, at: datetime, why: str = "") -> Permission:
    """Ask for, grant, pause, resume, end or refuse a permission. Raises IllegalMoveError from a wrong state."""
    require(by, Right.MANAGE_PERMISSIONS)
    return _move(permission_id, to, by=by, via="", at=at, why=why)


@transaction.atomic
def pause_permission(
    permission: Permission, *, by: User | None, via: str, at: datetime, why: str
) -> Permission:
    """Pause a granted permission at once, for the landholder (`by` None, `via` their link) or the secretary.

    Pausing it twice keeps it paused and adds the second reason to the trail. Raises IllegalMoveError for a
    permission that is not granted, PermissionDenied for an account without the right.
    """
    if by is not None:
        require(by, Right.MANAGE_PERMISSIONS)
    row = Permission.objects.select_for_update().get(pk=permission.pk)
    if row.state == State.PAUSED:
        audit.record("permission.pause_again", row, by=by, via=via, at=at, why=why)
        return row
    return _move(row.pk, State.PAUSED, by=by, via=via, at=at, why=why)


@transaction.atomic
def grant_by_consents(permission_id: int, *, via: str, at: datetime) -> Permission:
    """Grant a permission that was asked for, once the last consent it needed came by link; others stay as they are."""
    row = Permission.objects.select_for_update().get(pk=permission_id)
    if row.state not in (State.DRAFT, State.ASKED):
        return row
    return _move(row.pk, State.GRANTED, by=None, via=via, at=at, why="every required consent is there")


def _move(permission_id: int, to: State, *, by: User | None, via: str, at: datetime, why: str) -> Permission:
    row = Permission.objects.select_for_update().get(pk=permission_id)
    before = State(row.state)
    if before is to:
        return row  # the button pressed twice, or by two people at once
    check_move(MOVES, before, to)
    row.state = to
    row.paused_why = why[:300] if to is State.PAUSED else ""
    row.save(update_fields=["state", "paused_why"])
    audit.record(f"permission.{to.value}", row, by=by, via=via, at=at, before=before.value, why=why)
    return row
