"""Finds against the ground that was covered to find them: a number a site, and a surface for one site."""

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from django.db.models import Count, Prefetch
from numpy.typing import NDArray

from finds.models.find import ON_MAP, FindQuerySet
from geo.grid import Grid
from geo.kde import QUARTIC_OVER_GAUSSIAN, Blocks, density_over_ground, silverman_m
from hunts.cover_page import Covered, covered_of, whole_percent
from hunts.ground import ground_of
from hunts.models import TrackCover
from permissions.models import Boundary, Site

M2_A_HA = 10_000
MOST_BLOCKS = 44  # across a surface
RADIUS_M = (10.0, 100.0)  # receivers are good to 1 to 3 m and fields are some 200 m wide: common practice
LEAST_FINDS = 5  # fewer make no surface
LEVELS = 5


@dataclass(frozen=True)
class SiteDensity:
    """One site: finds of hunts with a track on it, the ground those tracks cover, and finds left aside."""

    site: Site
    covered: Covered | None
    finds: int
    aside: int
    fault: str = ""

    @property
    def covered_m2(self) -> float:
        said = self.covered.figures if self.covered else None
        return said.drawn_m2 if said else 0.0

    @property
    def share(self) -> str:
        said = self.covered.figures if self.covered else None
        return whole_percent(said.drawn_share) if said else ""

    @property
    def finds_a_ha(self) -> float | None:
        """Finds per hectare covered; None where nothing was."""
        return self.finds / (self.covered_m2 / M2_A_HA) if self.covered_m2 else None


def sites_covered(hunts: Any) -> Any:
    """Sites with a recorded track of these hunts, ready for `densities`."""
    first = Prefetch("boundaries", Boundary.objects.order_by("drawn_at", "pk"), to_attr="oldest_first")
    tracked = TrackCover.objects.filter(track__hunt__in=hunts.order_by()).values("site")
    return Site.objects.filter(pk__in=tracked).prefetch_related("no_go", first).order_by("code")


def densities(sites: Iterable[Site], hunts: Any, finds: FindQuerySet) -> list[SiteDensity]:
    """Finds per hectare covered of each site. Ground that several hunts covered counts once, and so do its finds."""
    listed = list(sites)
    covers: dict[int, list[TrackCover]] = defaultdict(list)
    rows = TrackCover.objects.filter(site__in=listed, track__hunt__in=hunts.order_by()).select_related(
        "track"
    )
    for row in rows.defer("track__trace", "track__line", "track__notes"):
        covers[row.site_id].append(row)
    counts = finds.filter(site__in=listed).order_by().values("site", "hunt").annotate(n=Count("*"))
    found = [(row["site"], row["hunt"], row["n"]) for row in counts]
    return [_density(site, covers[site.pk], found) for site in listed]


def _density(site: Site, covers: list[TrackCover], found: list[tuple[int, int, int]]) -> SiteDensity:
    tracked = {row.track.hunt_id for row in covers}
    here = sum(n for pk, hunt, n in found if pk == site.pk and hunt in tracked)
    aside = sum(n for pk, hunt, n in found if pk == site.pk and hunt not in tracked)
    grounds, faults = ground_of(site)
    if not grounds:
        return SiteDensity(site, None, here, aside, " ".join(faults))
    covered = covered_of(grounds[0], covers)
    return SiteDensity(site, covered, here, aside, covered.fault)


@dataclass(frozen=True)
class Surface:
    """Finds per hectare of ground covered over one site. `density` (rows, cols) is NaN where nobody covered.

    `ground` says which blocks lie on the site at all; rows go north.
    """

    density: NDArray[Any]
    ground: NDArray[np.bool_]
    side_m: float
    radius_m: float
    finds: int

    @property
    def steps(self) -> list[float]:
        """The upper edges of LEVELS equal classes."""
        most = float(np.nanmax(self.density)) if np.isfinite(self.density).any() else 0.0
        return [most * step / LEVELS for step in range(1, LEVELS + 1)]

    @property
    def classes(self) -> NDArray[np.int64]:
        """-2 off the site, -1 not covered, else 0 to LEVELS - 1."""
        known = np.isfinite(self.density) & self.ground
        level = np.clip(np.searchsorted(self.steps, np.where(known, self.density, 0)), 0, LEVELS - 1)
        return np.where(known, level, np.where(self.ground, -1, -2)).astype(np.int64)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """How much ground lies in each class, for the table beside the picture."""
        classes, steps = self.classes, [0.0, *self.steps]
        hectares = {
            level: float((classes == level).sum()) * self.side_m**2 / M2_A_HA for level in range(-1, LEVELS)
        }
        named = [
            {"level": level, "low": steps[level], "high": steps[level + 1], "ha": hectares[level]}
            for level in range(LEVELS)
        ]
        return [*named, {"level": -1, "low": None, "high": None, "ha": hectares[-1]}]


def surface(row: SiteDensity, hunts: Any, finds: FindQuerySet) -> Surface | None:
    """The surface of one site out of finds that are not locked; None for fewer than LEAST_FINDS or no ground covered.

    A kernel of √8 times Silverman's bandwidth, held within RADIUS_M; geo.kde says how it is divided.
    """
    covered = row.covered
    if covered is None or covered.grid is None or not covered.counts.any():
        return None
    tracked = TrackCover.objects.filter(site=row.site, track__hunt__in=hunts.order_by()).values("track__hunt")
    here = finds.filter(ON_MAP, site=row.site, lat__isnull=False, hunt__in=tracked).order_by("pk")
    degrees = np.array(list(here.values_list("lon", "lat")), dtype=float).reshape(-1, 2)
    if len(degrees) < LEAST_FINDS:
        return None
    points = np.column_stack(covered.grid.local.forward(degrees[:, 0], degrees[:, 1]))
    radius = float(np.clip(QUARTIC_OVER_GAUSSIAN * silverman_m(points), *RADIUS_M))
    blocks, ground = _blocks(covered.grid, (covered.counts > 0) & covered.site, covered.site)
    density = density_over_ground(points, blocks, radius) * M2_A_HA
    return Surface(density, ground, blocks.side_m, radius, len(points))


def _blocks(grid: Grid, covered: NDArray[Any], site: NDArray[Any]) -> tuple[Blocks, NDArray[np.bool_]]:
    """Square blocks over the grid: the covered share of each, and which lie on the site (by half or more)."""
    size = max(1, math.ceil(max(grid.rows, grid.cols) / MOST_BLOCKS))
    covered_cells, site_cells = _summed(covered, size), _summed(site, size)
    share = covered_cells / size**2
    ground = (site_cells * 2 >= size**2) | (covered_cells > 0)
    west, south = grid.col0 * grid.cell_m, grid.row0 * grid.cell_m
    return Blocks(share, west, south, size * grid.cell_m), ground


def _summed(cells: NDArray[Any], size: int) -> NDArray[np.int64]:
    rows, cols = cells.shape
    padded = np.zeros((-(-rows // size) * size, -(-cols // size) * size), dtype=np.uint8)
    padded[:rows, :cols] = cells
    tiles = padded.reshape(len(padded) // size, size, -1, size)
    sums: NDArray[np.int64] = tiles.sum(axis=(1, 3), dtype=np.int64)
    return sums
