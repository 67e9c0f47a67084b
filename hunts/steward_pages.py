"""The steward's walk along a short path, and what the holes of a hunt came to."""

from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db.models import Count

from geo.walk import short_walk, walk_length_m
from hunts import maps, screens
from hunts.models import Hole, Hunt
from hunts.models.hole import Outcome
from hunts.points import point_of
from hunts.rechecks import is_overdue
from hunts.states import HoleState
from people.models import User
from people.rights import Right
from people.sensitivity import Precision, ShownPoint


def walk_page(hunt: Hunt, user: User) -> dict[str, Any]:
    """Holes not filled or not checked, in the order in which to walk past them from the gate.

    Only places this reader may see in full are put in order; locked ones and those without a fix stand at the end.
    """
    holes = list(screens.holes_seen(hunt, user).exclude(state=HoleState.CHECKED))
    shown = {hole.pk: None if hole.locked else point_of(hole, user) for hole in holes}
    placed = [(hole, point) for hole in holes if (point := _full(shown[hole.pk])) is not None]
    there = {hole.pk for hole, _ in placed}
    places = [(point.lon, point.lat) for _, point in placed]
    order = short_walk(places, _gate(hunt))
    walk = [placed[place][0] for place in order]
    rest = [hole for hole in holes if hole.pk not in there]
    return {
        "hunt": hunt,
        "rows": _rows([*walk, *rest], user),
        "placed": len(walk),
        "unplaced": len(rest),
        "metres": round(walk_length_m(places, order)),
        "features": maps.with_holes(hunt, holes, user),
    }


def _full(point: ShownPoint | None) -> ShownPoint | None:
    return point if point is not None and point.precision is Precision.FULL else None


def _gate(hunt: Hunt) -> tuple[float, float] | None:
    """Where the walk begins: the way in to the first site that has one."""
    gates = ((site.gate_lon, site.gate_lat) for site in hunt.sites.order_by("code"))
    return next(((lon, lat) for lon, lat in gates if lon is not None and lat is not None), None)


def _rows(holes: Sequence[Hole], user: User) -> list[dict[str, Any]]:
    rows = screens.hole_rows(holes, user)
    for row in rows:
        hole, checks = row["hole"], user.holds(Right.CHECK_HOLES)
        row["may_fill"] = hole.state == HoleState.DUG and checks
        row["may_check"] = hole.state == HoleState.FILLED and checks and hole.digger_id != user.pk
    return rows


def outcomes_of(hunt: Hunt, user: User) -> dict[str, Any]:
    """What came out of the holes that this reader may see: that digging stopped is not for everybody to know."""
    seen = Hole.objects.visible_to(user).filter(hunt=hunt)
    pairs = seen.order_by().values_list("outcome").annotate(Count("pk"))
    counts = Counter(dict(pairs))
    return {
        "outcomes": [(Outcome(each).label, counts[each]) for each in Outcome.values if counts[each]],
        "dug_in_all": sum(counts.values()),
        "may_weigh": user.holds(Right.RUN_HUNT) and hunt.state in {"running", "closed"},
    }


def recheck_rows(holes: Sequence[Hole], user: User, at: datetime) -> list[dict[str, Any]]:
    """Rows of the list of holes to look at again, overdue ones marked."""
    return [row | {"overdue": is_overdue(row["hole"], at)} for row in screens.hole_rows(holes, user)]
