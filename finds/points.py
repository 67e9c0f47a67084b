"""Findspots as a reader may see them; every full view of a locked one is recorded."""

from collections.abc import Sequence
from datetime import datetime

from finds.actions.looks import see_findspots
from finds.models import Find
from people.models import User
from people.rights import Right
from people.sensitivity import Precision, Reader, ShownPoint, show_record


def reader_of(find: Find, user: User) -> Reader:
    """What `user` is to this find. `find.hunt` should be loaded."""
    return Reader(
        is_finder=find.finder_id == user.pk,
        leads_hunt=find.hunt.leader_id == user.pk,
        is_member=bool(user.roles),
        sees_findspots=user.holds(Right.SEE_FINDSPOTS),
        sees_locked=user.holds(Right.SEE_LOCKED_FINDSPOTS),
    )


def point_of(find: Find, user: User) -> ShownPoint | None:
    """The findspot as `user` may see it, without recording that it was seen: for maps' squares and counts only."""
    return show_record(find, reader_of(find, user))


def shown_to(find: Find, user: User, *, at: datetime, where: str) -> ShownPoint | None:
    """The findspot for a page or file named `where`; a locked one shown in full is recorded first."""
    return all_shown_to([find], user, at=at, where=where)[find.pk]


def all_shown_to(
    finds: Sequence[Find], user: User, *, at: datetime, where: str
) -> dict[int, ShownPoint | None]:
    """The findspots by primary key, as `shown_to` gives each, with one write for all looks at locked ones."""
    points = {find.pk: point_of(find, user) for find in finds}
    looked = [find for find in finds if find.locked and _is_full(points[find.pk])]
    if looked:
        see_findspots(looked, by=user, at=at, where=where)
    return points


def _is_full(point: ShownPoint | None) -> bool:
    return point is not None and point.precision is Precision.FULL
