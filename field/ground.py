"""The ground of a hunt as the phone keeps it: boundaries of the day, no-go ground with its margins, and lanes."""

from typing import Any

import shapely
from shapely.geometry import mapping

from geo.local import Local
from geo.measure import buffered, to_shape
from hunts.ground import grounds_of
from hunts.lane_page import own_share, shared_lanes, walkers_of
from hunts.models import Hunt
from hunts.plan_page import plan_of
from people.models import User
from permissions.models import NoGoArea, Site

MOST_POINTS = 2000
"""An outline of more points than this is thinned for the phone, which walks along all of them at every fix."""
THIN_M = 0.1  # far below any receiver's error
MOST_LANES = 600
_DECIMALS = 7


def ground_of(hunt: Hunt, user: User) -> dict[str, Any]:
    """`sites`, `lanes` and `swath_m` of the pack; `faults` says in words where there are no lanes, and why.

    A lane is the reader's own (`mine`) where the plan shares it to them. All of those come; of the others as many
    as bring the list to 600. Whose they are is not said. Constant queries.
    """
    plan = plan_of(hunt)
    grounds, faults = grounds_of(hunt)
    walkers = walkers_of(hunt, user)
    rows: list[dict[str, Any]] = []
    for ground in grounds:
        shared = shared_lanes(ground, plan, walkers)
        faults += [f"{ground.site}: {shared.fault}"] if shared.fault else []
        own = own_share(shared)
        mine = {lane.label for lane in own.lanes} if own else set()
        rows += [
            _lane(ground.site, lane.label, lane.label in mine, lane.coordinates)
            for lane in (shared.plan.lanes if shared.plan else ())
        ]
    return {"sites": _sites(hunt), "lanes": _few(rows), "swath_m": plan.swath_m, "faults": faults}


def _lane(site: Site, label: str, mine: bool, line: Any) -> dict[str, Any]:
    places = [[round(lon, _DECIMALS), round(lat, _DECIMALS)] for lon, lat in line]
    return {
        "site": site.code,
        "label": label,
        "mine": mine,
        "line": {"type": "LineString", "coordinates": places},
    }


def _few(lanes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The reader's own lanes first, then others up to the limit."""
    mine = [lane for lane in lanes if lane["mine"]]
    others = [lane for lane in lanes if not lane["mine"]]
    return mine + others[: max(MOST_LANES - len(mine), 0)]


def _sites(hunt: Hunt) -> list[dict[str, Any]]:
    rows = hunt.hunt_sites.select_related("site", "boundary").prefetch_related("site__no_go")
    return [
        {
            "pk": row.site.pk,
            "code": row.site.code,
            "name": row.site.name,
            "boundary": thinned(row.boundary.geometry),
            "no_go": [
                {"label": area.reason, "geometry": thinned(_with_margin(area))}
                for area in row.site.no_go.all()
            ],
        }
        for row in rows
    ]


def _with_margin(area: NoGoArea) -> Any:
    return buffered(area.geometry, area.buffer_m) if area.buffer_m else area.geometry


def thinned(geometry: dict[str, Any]) -> dict[str, Any]:
    """The shape itself, or one within 0.1 m of it where it has more than 2,000 points."""
    shape = to_shape(geometry)
    if shapely.get_num_coordinates(shape) <= MOST_POINTS:
        return geometry
    local = Local.around(shape)
    thin = local.to_degrees(local.to_metres(shape).simplify(THIN_M))
    return dict(mapping(shapely.transform(thin, lambda places: places.round(_DECIMALS))))
