"""What keeps a findspot locked: a case that runs, or an incident that the committee has not ended."""

from datetime import datetime

from finds.models import Case, Find
from finds.states import LOCKS
from hunts.actions import lock_hole, unlock_hole
from hunts.models import Hole
from people.models import User


def lock_find(find: Find, *, by: User | None, at: datetime) -> None:
    """Lock the findspot, and the hole it came from, to finder, leader and committee."""
    if not find.locked:
        Find.objects.filter(pk=find.pk).update(locked=True)
        find.locked = True
    if find.hole is not None:
        lock_hole(find.hole, by=by, at=at)


def match_lock(find: Find, *, by: User | None, at: datetime) -> None:
    """Lock or open the findspot as its cases and incidents ask, and its hole with it."""
    case = Case.objects.filter(finds=find, state__in=LOCKS).exists()
    locked = case or find.drills.filter(incident__locked=True).exists()
    if find.locked != locked:
        Find.objects.filter(pk=find.pk).update(locked=locked)
        find.locked = locked
    if find.hole is not None:
        match_hole(find.hole, by=by, at=at)


def match_hole(hole: Hole, *, by: User | None, at: datetime) -> None:
    """A hole is locked as long as any find from it is."""
    if Find.objects.filter(hole=hole, locked=True).exists():
        lock_hole(hole, by=by, at=at)
    else:
        unlock_hole(hole, by=by, at=at)
