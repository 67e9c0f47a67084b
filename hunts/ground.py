"""The ground of a hunt or a site as geometry: boundary, no-go ground, what is left to search, and its lasting grid."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Any

import shapely
from django.db.models import Prefetch, QuerySet
from django.utils.timezone import make_aware
from django.utils.translation import gettext as _

from geo.grid import Grid, cell_for, grid_over
from geo.ground import GroundError, searchable
from geo.local import Local
from geo.measure import buffered, to_shape
from hunts.models import Hunt
from permissions.models import Boundary, Site


@dataclass(frozen=True)
class SiteGround:
    """One site's ground. `boundary` and `no_go` (with their margins) in degrees; `searchable` in metres on `local`.

    `local` and `cell_m` come from the first boundary that the site ever had, so that tracks of all years line up.
    """

    site: Site
    boundary: Any
    no_go: tuple[Any, ...]
    local: Local
    cell_m: float
    searchable: Any

    @property
    def area_m2(self) -> float:
        """Searchable ground, in square metres."""
        return float(self.searchable.area)

    @property
    def grid(self) -> Grid:
        """Cells over the searchable ground. Raises CoverageError for more than 4 million."""
        return grid_over(self.searchable, self.local, cell_m=self.cell_m)


def grounds_of(hunt: Hunt) -> tuple[list[SiteGround], list[str]]:
    """The hunt's sites as they were bounded on the day, and a sentence for each that leaves nothing to search."""
    rows = hunt.hunt_sites.select_related("site", "boundary").prefetch_related("site__no_go", _first())
    return _grounds((row.site, row.boundary.geometry) for row in rows)


def ground_of(site: Site) -> tuple[list[SiteGround], list[str]]:
    """The site as it is bounded now: a list of one, or of none with a sentence that says why."""
    if not site.boundary:
        return [], [_("%(site)s has no boundary yet; draw it first.") % {"site": site}]
    return _grounds([(site, site.boundary)])


def grounds_now(sites: QuerySet[Site]) -> tuple[list[SiteGround], list[str]]:
    """Each of the sites as it is bounded now, in three queries however many there are."""
    rows = sites.prefetch_related("no_go", Prefetch("boundaries", _oldest(), to_attr="oldest_first"))
    return _grounds((site, site.boundary) for site in rows if site.boundary)


def _oldest() -> QuerySet[Boundary]:
    return Boundary.objects.order_by("drawn_at", "pk")


def _first() -> "Prefetch[str]":
    return Prefetch("site__boundaries", _oldest(), to_attr="oldest_first")


def _grounds(rows: Iterable[tuple[Site, Any]]) -> tuple[list[SiteGround], list[str]]:
    grounds, faults = [], []
    for site, geometry in rows:
        try:
            grounds.append(_ground(site, geometry))
        except GroundError as error:
            faults.append(f"{site}: {error}")
    return grounds, faults


def _ground(site: Site, geometry: Any) -> SiteGround:
    boundary = to_shape(geometry)
    no_go = tuple(
        to_shape(buffered(area.geometry, area.buffer_m) if area.buffer_m else area.geometry)
        for area in site.no_go.all()
    )
    first = _first_boundary(site)
    begun = to_shape(first.geometry) if first else boundary
    local = Local.around(begun)
    cell_m = cell_for(first.area_m2 if first else local.to_metres(boundary).area)
    return SiteGround(site, boundary, no_go, local, cell_m, searchable(local, boundary, no_go))


def _first_boundary(site: Site) -> Boundary | None:
    listed: list[Boundary] | None = getattr(site, "oldest_first", None)
    if listed is None:
        return site.boundaries.order_by("drawn_at", "pk").first()
    return listed[0] if listed else None


def day_of(hunt: Hunt) -> tuple[datetime, datetime]:
    """Midnight to midnight of the hunt's day in the club's zone; 23 or 25 hours where clocks change."""
    start = datetime.combine(hunt.on, time())
    return make_aware(start), make_aware(start + timedelta(1)) - timedelta(seconds=1)


def area_of(grounds: Iterable[SiteGround]) -> float:
    """All searchable ground together, in square metres."""
    return sum(ground.area_m2 for ground in grounds)


def whole(grounds: Iterable[SiteGround]) -> tuple[Local, Any, list[Any]]:
    """One metre grid for all sites of a hunt, their boundaries joined and their no-go areas on it."""
    listed = list(grounds)
    joined = shapely.union_all([ground.boundary for ground in listed])
    local = Local.around(joined)
    return local, local.to_metres(joined), [local.to_metres(a) for each in listed for a in each.no_go]
