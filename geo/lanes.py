"""Parallel search lanes through any ground with holes and no-go areas, and their share-out among people.

Method: every hull edge and polygon edge gives a heading; the heading with the fewest pieces wins, then the
fewest lanes. For convex ground that is its smallest width, which always lies along a hull edge. Source:
Houle and Toussaint 1988, *Computing the width of a set*; Choset 2001, *Coverage for robotics* (from
memory).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from geo.errors import GeoError
from geo.gpx import Route
from geo.ground import drawn, searchable
from geo.lane_cut import Pieces, best_headings, cut, edges_of
from geo.local import Local
from tongue import figure
from tongue import say as _

MAX_LANES = 5000
MAX_PIECES = 20_000
LONG_WALK_M = 300_000.0


class LaneError(GeoError):
    """Ground, spacing or people from which no lanes can be made."""


@dataclass(frozen=True)
class Lane:
    """One straight piece to walk, from its first to its second lon/lat; a lane cut by a hole has parts a,
    b, c…
    """

    number: int
    part: str
    heading_deg: float
    coordinates: tuple[tuple[float, float], tuple[float, float]]
    length_m: float

    @property
    def label(self) -> str:
        """What the sheet and the receiver show: 12, or 12a where a hole cuts the lane."""
        return f"{self.number}{self.part}"


@dataclass(frozen=True)
class LanePlan:
    """Lanes in walking order, alternate ones reversed; heading 0 to 180 degrees from true north; notes in
    plain words.
    """

    lanes: tuple[Lane, ...]
    heading_deg: float
    spacing_m: float
    total_m: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Share:
    """What one person walks: lanes next to each other, in order."""

    person: str
    lanes: tuple[Lane, ...]
    length_m: float


def plan_lanes(
    geometry: Any, *, spacing_m: float, heading_deg: float | None = None, no_go: Iterable[Any] = ()
) -> LanePlan:
    """Lanes `spacing_m` apart through a lon/lat Polygon or MultiPolygon, less the lon/lat `no_go` polygons.

    `heading_deg` (from true north, any turn) overrides the best one. Lane ends lie on the boundary, to 1 mm
    on the site's local metre grid. Pieces under 1 m are left out. Raises LaneError for a spacing outside
    0.3 to 200 m or more lanes than anybody can walk, GroundError for no ground.
    """
    _check(spacing_m, heading_deg)
    local = Local.around(drawn(geometry))
    ground = searchable(local, geometry, no_go)
    _check_size(ground, spacing_m)
    edges = edges_of(ground)
    headings = [heading_deg % 180] if heading_deg is not None else best_headings(ground)
    choices = [cut(edges, heading, spacing_m) for heading in headings]
    best = min(choices, key=lambda pieces: pieces.cost(ground.area, spacing_m))
    if (count := len(best.strip)) > MAX_PIECES:
        what = _("These lanes come in %(count)s pieces") % {"count": count}
        raise LaneError(
            what, value=len(best.strip), remedy=_("give a wider spacing or plan one field at a time")
        )
    lanes = _lanes(best, local)
    if not lanes:
        what = _("No lane of 1 m fits this ground of %(area)s m²") % {"area": figure(f"{ground.area:.1f}")}
        raise LaneError(
            what, value=ground.area, remedy=_("draw the ground larger or search it without lanes")
        )
    total_m = sum(lane.length_m for lane in lanes)
    return LanePlan(lanes, best.heading_deg, spacing_m, total_m, _notes(ground.area, spacing_m, total_m))


def share_lanes(plan: LanePlan, people: Sequence[str]) -> tuple[Share, ...]:
    """Each person's lanes: neighbours, in order, everyone at least one, lengths as even as whole lanes allow.

    Raises LaneError for nobody, or more people than lanes.
    """
    if not people:
        raise LaneError(_("Nobody to share the lanes among"), value=0, remedy=_("give at least one person"))
    if len(people) > len(plan.lanes):
        what = _("%(lanes)s lanes cannot be shared among %(people)s people") % {
            "lanes": len(plan.lanes),
            "people": len(people),
        }
        raise LaneError(what, value=len(people), remedy=_("give a closer spacing or fewer people"))
    shares, first, left_m = [], 0, plan.total_m
    for place, person in enumerate(people):
        others = len(people) - place - 1
        target_m, load_m, stop = left_m / (others + 1), 0.0, first
        while len(plan.lanes) - stop > others:
            length_m = plan.lanes[stop].length_m
            if others and stop > first and load_m + length_m / 2 > target_m:
                break
            load_m, stop = load_m + length_m, stop + 1
        shares.append(Share(person, plan.lanes[first:stop], load_m))
        first, left_m = stop, left_m - load_m
    return tuple(shares)


def lane_routes(plan: LanePlan) -> list[Route]:
    """One GPX route per lane, named by its label."""
    return [
        Route(_("Lane %(label)s") % {"label": lane.label}, lane.coordinates, f"{lane.length_m:.0f} m")
        for lane in plan.lanes
    ]


def walk_route(share: Share) -> Route:
    """One GPX route through all lanes of one person, in walking order."""
    places = [place for lane in share.lanes for place in lane.coordinates]
    first, last = share.lanes[0].label, share.lanes[-1].label
    lanes = (
        _("lane %(first)s") % {"first": first}
        if first == last
        else _("lanes %(first)s to %(last)s") % {"first": first, "last": last}
    )
    return Route(
        f"{share.person}, {lanes}",
        places,
        _("%(length_m)s m of lanes") % {"length_m": f"{share.length_m:.0f}"},
    )


def _lanes(pieces: Pieces, local: Local) -> tuple[Lane, ...]:
    """Number the pieces in walking order: every second lane is walked back."""
    sin, cos = math.sin(math.radians(pieces.heading_deg)), math.cos(math.radians(pieces.heading_deg))
    u, v = np.column_stack([pieces.start, pieces.stop]), pieces.across[:, None]
    lon, lat = local.inverse(u * sin + v * cos, u * cos - v * sin)
    sizes = np.unique(pieces.strip, return_counts=True)[1]
    lanes, at = [], 0
    for lane, size in enumerate(sizes.tolist()):
        back = lane % 2 == 1
        rows = range(at + size - 1, at - 1, -1) if back else range(at, at + size)
        for place, row in enumerate(rows):
            ends = [(float(lon[row, end]), float(lat[row, end])) for end in ((1, 0) if back else (0, 1))]
            lanes.append(
                Lane(
                    number=lane + 1,
                    part=_letters(place) if size > 1 else "",
                    heading_deg=(pieces.heading_deg + 180 * back) % 360,
                    coordinates=(ends[0], ends[1]),
                    length_m=float(pieces.stop[row] - pieces.start[row]),
                )
            )
        at += size
    return tuple(lanes)


def _letters(place: int) -> str:
    """a to z, then aa, ab…"""
    return ("" if place < 26 else _letters(place // 26 - 1)) + chr(97 + place % 26)


def _check(spacing_m: float, heading_deg: float | None) -> None:
    if not 0.3 <= spacing_m <= 200:
        remedy = _("give 0.3 to 200 m; 1.5 m sweeps everything")
        raise LaneError(
            _("A lane spacing of %(spacing_m)s m") % {"spacing_m": figure(f"{spacing_m:g}")},
            value=spacing_m,
            remedy=remedy,
        )
    if heading_deg is not None and not math.isfinite(heading_deg):
        raise LaneError(
            _("A heading of %(heading_deg)s") % {"heading_deg": heading_deg},
            value=heading_deg,
            remedy=_("give degrees from north, 0 to 360"),
        )


def _check_size(ground: Any, spacing_m: float) -> None:
    """Refuse before any work is done what would take more lanes than a club could walk."""
    west, south, east, north = ground.bounds
    lanes = math.hypot(east - west, north - south) / spacing_m
    if lanes > MAX_LANES:
        need_m = math.ceil(lanes * spacing_m / MAX_LANES * 10) / 10
        crossing = _("About %(lanes)s lanes of %(spacing_m)s m would cross") % {
            "lanes": f"{lanes:.0f}",
            "spacing_m": figure(f"{spacing_m:g}"),
        }
        what = _("%(crossing)s this ground of %(area)s ha") % {
            "crossing": crossing,
            "area": f"{ground.area / 10000.0:.0f}",
        }
        raise LaneError(
            what,
            value=spacing_m,
            remedy=_("give at least %(need_m)s m or plan one field at a time")
            % {"need_m": figure(f"{need_m:g}")},
        )


def _notes(area_m2: float, spacing_m: float, total_m: float) -> tuple[str, ...]:
    notes = []
    if total_m > LONG_WALK_M:
        long = _("These lanes are %(total_m)s km long") % {"total_m": f"{total_m / 1000:.0f}"}
        notes.append(_("%(long)s: plan one field at a time, or give a wider spacing.") % {"long": long})
    if total_m * spacing_m < 0.95 * area_m2:
        notes.append(_("Some of this ground is narrower than the spacing and has no lane; search it freely."))
    if total_m * spacing_m > 1.5 * area_m2:
        notes.append(_("This ground is narrower than the spacing: one lane down the middle covers it."))
    return tuple(notes)
