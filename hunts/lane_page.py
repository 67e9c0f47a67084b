"""Lanes of one site of a hunt, shared among those who hold a place."""

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from geo.errors import GeoError
from geo.lanes import LanePlan, Share, plan_lanes, share_lanes
from hunts.ground import SiteGround, grounds_of
from hunts.ground_maps import collection, lane_features, site_features
from hunts.models import Hunt, HuntPlan, SignUp
from people.models import User
from people.rights import Right


@dataclass(frozen=True)
class Walker:
    """Somebody the lanes are shared among; `name` is empty where the reader may not know it."""

    user_id: int
    name: str
    is_me: bool


@dataclass(frozen=True)
class SharedLanes:
    """Lanes of one site and who walks which; `fault` says why there are none, or why they are not shared."""

    ground: SiteGround | None
    plan: LanePlan | None
    shares: tuple[tuple[Walker, Share], ...]
    fault: str = ""


def walkers_of(hunt: Hunt, user: User) -> list[Walker]:
    """Everybody who holds a place, by name; members learn only which share is theirs."""
    sees = sees_all_lanes(user)
    rows = SignUp.objects.standing().filter(hunt=hunt).select_related("user").order_by("user__name", "pk")
    return [
        Walker(row.user_id, row.user.name if sees or row.user_id == user.pk else "", row.user_id == user.pk)
        for row in rows
    ]


def lanes_of(hunt: Hunt, plan: HuntPlan, user: User, site: str = "") -> tuple[SharedLanes, list[SiteGround]]:
    """The lanes of the site with the primary key `site` (default: the first), and all grounds of the hunt.

    Nothing is stored: the same plan, ground and people give the same lanes.
    """
    grounds, faults = grounds_of(hunt)
    ground = next((each for each in grounds if str(each.site.pk) == site), grounds[0] if grounds else None)
    if ground is None:
        return SharedLanes(None, None, (), " ".join(faults)), grounds
    return shared_lanes(ground, plan, walkers_of(hunt, user)), grounds


def shared_lanes(ground: SiteGround, plan: HuntPlan, walkers: list[Walker]) -> SharedLanes:
    """The lanes of one site's ground, shared among the walkers."""
    try:
        lanes = plan_lanes(
            ground.boundary, spacing_m=plan.spacing_m, heading_deg=plan.heading_deg, no_go=ground.no_go
        )
    except GeoError as error:
        return SharedLanes(ground, None, (), str(error))
    return _shared(ground, lanes, walkers)


def _shared(ground: SiteGround, lanes: LanePlan, walkers: list[Walker]) -> SharedLanes:
    if not walkers:
        return SharedLanes(
            ground, lanes, (), _("Nobody holds a place yet; the lanes are shared out once people do.")
        )
    try:
        shares = share_lanes(lanes, [str(walker.user_id) for walker in walkers])
    except GeoError as error:
        return SharedLanes(ground, lanes, (), str(error))
    return SharedLanes(ground, lanes, tuple(zip(walkers, shares, strict=True)))


def lanes_page(hunt: Hunt, plan: HuntPlan, user: User, site: str) -> dict[str, Any]:
    """The page of the lanes: map, who walks which, and notes."""
    shared, grounds = lanes_of(hunt, plan, user, site)
    features = site_features(shared.ground) if shared.ground else []
    if shared.plan:
        features += lane_features(shared.plan, own_share(shared))
    return {
        "hunt": hunt,
        "plan": plan,
        "site": shared.ground.site if shared.ground else None,
        "sites": [each.site for each in grounds],
        "lanes": shared.plan,
        "fault": shared.fault,
        "rows": [row_of(walker, share) for walker, share in shared.shares],
        "has_own": own_share(shared) is not None,
        "sees_all": sees_all_lanes(user),
        "may_plan": user.holds(Right.PLAN_HUNT),
        "features": collection(features),
        **_figures(shared),
    }


def _figures(shared: SharedLanes) -> dict[str, Any]:
    if shared.plan is None:
        return {}
    return {
        "count": shared.plan.lanes[-1].number,
        "heading": round(shared.plan.heading_deg),
        "total_m": round(shared.plan.total_m),
        "notes": shared.plan.notes,
    }


def sees_all_lanes(user: User) -> bool:
    return user.holds(Right.RUN_HUNT) or user.holds(Right.SEE_PEOPLE)


def own_share(shared: SharedLanes) -> Share | None:
    return next((share for walker, share in shared.shares if walker.is_me), None)


def row_of(walker: Walker, share: Share) -> dict[str, Any]:
    first, last = share.lanes[0].label, share.lanes[-1].label
    return {
        "walker": walker,
        "lanes": first if first == last else _("%(first)s to %(last)s") % {"first": first, "last": last},
        "count": len(share.lanes),
        "metres": round(share.length_m),
    }
