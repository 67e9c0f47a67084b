"""What a find takes from the hole it came out of, so that nobody writes the same thing down twice."""

from typing import Any

from django.utils.timezone import localtime

from hunts.models import Hole, Hunt
from people.models import User
from permissions.models import Site
from web.position_model import PositionModel

PLACE = [field.name for field in PositionModel._meta.get_fields()]


def from_hole(hunt: Hunt, wanted: str | None, by: User) -> dict[str, Any]:
    """What a new find starts with when its page was opened from a hole: who dug it, where, when and how deep."""
    initial: dict[str, Any] = {"hole": wanted}
    if wanted is None or not wanted.isdecimal() or len(wanted) > 9:
        return initial
    hole = Hole.objects.visible_to(by).filter(hunt=hunt, pk=int(wanted)).first()
    if hole is None:
        return initial
    dug_at = localtime(hole.dug_at).strftime("%Y-%m-%dT%H:%M")
    return initial | {
        "site": hole.site_id,
        "finder": hole.digger_id,
        "found_at": dug_at,
        "depth_cm": hole.depth_cm,
    }


def place_of_hole(hole: Hole | None, site: Site, finder: User | None, *, by: User) -> dict[str, Any]:
    """The columns of a hole's place for a find in it, where the finder dug it. A locked place goes to its own finder
    alone: a leader who writes the find down would read there what the hole does not show."""
    if hole is None or not hole.is_fixed or finder is None:
        return {}
    if hole.digger_id != finder.pk or hole.site_id != site.pk or (hole.locked and by.pk != finder.pk):
        return {}
    return {name: getattr(hole, name) for name in PLACE}
