"""What keeps a findspot locked: a case that runs, or an incident that the committee has not ended."""

from collections.abc import Iterable
from datetime import datetime

from finds.models import Case, Find
from finds.states import LOCKS
from hunts.actions import lock_hole, unlock_hole
from hunts.models import Hole
from people.models import User


def lock_find(find: Find, *, by: User | None, at: datetime) -> None:
    """Lock the findspot, and the hole it came from, to finder, leader and committee."""
    lock_finds([find], by=by, at=at)


def lock_finds(finds: Iterable[Find], *, by: User | None, at: datetime) -> None:
    """Lock these findspots in one go, and the holes they came from. `find.hole` should be loaded."""
    finds = list(finds)
    opened = [find for find in finds if not find.locked]
    if opened:
        Find.objects.filter(pk__in=[find.pk for find in opened]).update(locked=True)
    for find in opened:
        find.locked = True
    holes = {find.hole.pk: find.hole for find in finds if find.hole is not None}
    for hole in holes.values():
        if not hole.locked:
            lock_hole(hole, by=by, at=at)


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
