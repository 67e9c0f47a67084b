"""Lanes to take along: printable sheets, a map for paper, and GPX routes for any receiver."""

from datetime import datetime
from typing import Any

import shapely
from django.utils.translation import gettext as _

from geo.gpx import Route, write_gpx
from geo.gridref import describe_position
from geo.lanes import Lane, Share, lane_routes, walk_route
from geo.svgmap import Layers, Mark, Shape, svg_map
from hunts.lane_page import SharedLanes, Walker, lanes_of, own_share, row_of, sees_all_lanes
from hunts.models import Hunt, HuntPlan
from people.models import Club, User

END_ACCURACY_M = 5.0  # what a phone finds again under open sky
EVERYBODY = "everybody"


def sheets_page(hunt: Hunt, plan: HuntPlan, user: User, site: str) -> dict[str, Any]:
    """One printable sheet a person: everybody's for those who run hunts, one's own for members."""
    shared, _rest = lanes_of(hunt, plan, user, site)
    chosen = [pair for pair in shared.shares if pair[0].is_me or sees_all_lanes(user)]
    return {
        "hunt": hunt,
        "plan": plan,
        "site": shared.ground.site if shared.ground else None,
        "fault": shared.fault,
        "sheets": [_sheet(shared, walker, share) for walker, share in chosen],
    }


def _sheet(shared: SharedLanes, walker: Walker, share: Share) -> dict[str, Any]:
    assert shared.ground is not None
    country = shared.ground.site.country
    rows = [
        {
            "lane": lane,
            "heading": round(lane.heading_deg),
            "metres": round(lane.length_m),
            "start": describe_position(*lane.coordinates[0], END_ACCURACY_M, country),
        }
        for lane in share.lanes
    ]
    return {**row_of(walker, share), "rows": rows}


def lanes_svg(hunt: Hunt, plan: HuntPlan, user: User, site: str, person: str) -> str | None:
    """A printable map of one person's lanes, with all others' left out; None where there are none to show."""
    shared, _rest = lanes_of(hunt, plan, user, site)
    share = _share_for(shared, user, person)
    if shared.ground is None or share is None:
        return None
    ground = shared.ground
    gate = ground.site.gate_lon, ground.site.gate_lat
    layers = Layers(
        boundaries=[Shape(ground.boundary, str(ground.site))],
        no_go=[Shape(area) for area in ground.no_go],
        lanes=[Shape(shapely.LineString(lane.coordinates), lane.label) for lane in share.lanes],
        gate=None if gate[0] is None or gate[1] is None else Mark(gate[0], gate[1], _("Way in")),
    )
    return svg_map(
        layers,
        title=_("Lanes %(value)s on %(ground_site)s")
        % {"value": row_of(Walker(0, "", True), share)["lanes"], "ground_site": ground.site},
    )


def _share_for(shared: SharedLanes, user: User, person: str) -> Share | None:
    """The share of `person` (a primary key) where the reader may see it, else the reader's own."""
    if person and sees_all_lanes(user):
        return next((share for walker, share in shared.shares if str(walker.user_id) == person), None)
    return own_share(shared)


def lanes_file(
    hunt: Hunt, plan: HuntPlan, user: User, *, site: str, person: str, at: datetime
) -> tuple[bytes, str] | None:
    """GPX 1.1 routes and a file name: one person's walk, or every lane for "everybody"; None where there are none."""
    shared, _rest = lanes_of(hunt, plan, user, site)
    if shared.ground is None or shared.plan is None:
        return None
    if person == EVERYBODY:
        routes = lane_routes(shared.plan)
        named = "all"
    else:
        share = _share_for(shared, user, person)
        if share is None:
            return None
        routes = [_walk(shared, share), *_lanes(share.lanes)]
        named = f"{share.lanes[0].label}-{share.lanes[-1].label}"
    code = shared.ground.site.code
    club = Club.objects.filter(pk=1).first()
    data = write_gpx(
        creator=club.name if club else _("Club"), name=f"{hunt.code} {code}", at=at, routes=routes
    )
    return data, f"{hunt.code}-{code}-lanes-{named}.gpx"


def _walk(shared: SharedLanes, share: Share) -> Route:
    """All of one person's lanes in walking order, without their name: files travel further than sheets."""
    assert shared.ground is not None
    return walk_route(Share(shared.ground.site.code, share.lanes, share.length_m))


def _lanes(lanes: tuple[Lane, ...]) -> list[Route]:
    return [
        Route(
            _("Lane %(lane_label)s") % {"lane_label": lane.label}, lane.coordinates, f"{lane.length_m:.0f} m"
        )
        for lane in lanes
    ]
