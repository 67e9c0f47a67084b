"""Findspots as a reader may see them; every full view of a locked one is recorded."""

from datetime import datetime

from finds.actions.screening import see_findspot
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
    point = point_of(find, user)
    if point is not None and find.locked and point.precision is Precision.FULL:
        see_findspot(find, by=user, at=at, where=where)
    return point
