"""Ground covered, on one hunt or on a site since it was last cultivated: shares, their meaning, gaps, pictures."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from geo.coverage import Cover, add, cover
from geo.coverage_store import VERSION, picture, unpack
from geo.gaps import Gap, find_gaps
from geo.grid import Bits, CoverageError, Grid, site_mask
from geo.gridref import describe_position
from hunts.ground import SiteGround
from hunts.models import TrackCover

GAP_ACCURACY_M = 9.0  # gaps are judged in blocks of 5 m and walked to with a phone
MOST_GAPS = 12


@dataclass(frozen=True)
class Covered:
    """What tracks covered of one site. `counts` are passes a cell; `fault` says why nothing could be drawn."""

    ground: SiteGround
    grid: Grid | None
    site: Bits
    counts: NDArray[Any]
    figures: Cover | None
    stale: int = 0
    fault: str = ""

    @property
    def gaps(self) -> list[Gap]:
        """Where to go next, the largest first."""
        return find_gaps(self.grid, self.counts > 0, self.site, limit=MOST_GAPS) if self.grid else []


def covered_of(ground: SiteGround, covers: Iterable[TrackCover]) -> Covered:
    """Join the masks of `covers` (their `track` loaded) on the site's grid.

    Those drawn in an older way or on another grid are counted in `stale` and left out: `manage.py redraw_tracks`
    draws them again.
    """
    try:
        grid = ground.grid
    except CoverageError as error:
        return Covered(ground, None, np.zeros((0, 0), bool), np.zeros((0, 0)), None, fault=str(error))
    counts = np.zeros((grid.rows, grid.cols), dtype=np.uint16)
    swept_m2, stale = 0.0, 0
    for row in covers:
        if not is_current(row, ground):
            stale += 1
            continue
        add(grid, counts, unpack(bytes(row.mask)))
        swept_m2 += row.length_m * row.track.swath_m
    site = site_mask(grid, ground.searchable)
    try:
        # Swaths differ from person to person: metres times swath as if the swath were 1 m.
        figures = cover(grid, counts > 0, site, lengths_m=[swept_m2], swath_m=1.0)
    except CoverageError as error:
        return Covered(ground, None, site, counts, None, stale, str(error))
    return Covered(ground, grid, site, counts, figures, stale)


def is_current(row: TrackCover, ground: SiteGround) -> bool:
    """Was this mask drawn in today's way on the site's own grid?"""
    place = (row.grid_lon, row.grid_lat, row.cell_m, row.version)
    return place == (ground.local.lon0, ground.local.lat0, ground.cell_m, VERSION)


def figures_of(covered: Covered) -> dict[str, Any]:
    """The three numbers for a page, in whole percent."""
    said = covered.figures
    shown: dict[str, Any] = {"site": covered.ground.site, "fault": covered.fault, "stale": covered.stale}
    if said is None:
        return shown
    low, high = round(100 * said.random_share), round(100 * said.perfect_share)
    return shown | {
        "area_m2": covered.ground.area_m2,
        "drawn_m2": said.drawn_m2,
        "drawn": whole_percent(said.drawn_share),
        "effort": round(said.effort, 2),
        "expected": _("%(low)s to %(high)s %%") % {"low": low, "high": high} if low != high else f"{low} %",
    }


def whole_percent(share: float) -> str:
    """A share in words that never rounds something to nothing or nearly all to all."""
    if 0 < share < 0.005:
        return _("less than 1 %")
    return _("more than 99 %") if 0.995 <= share < 1 else f"{100 * share:.0f} %"


def gap_rows(covered: Covered, gaps: Sequence[Gap]) -> list[dict[str, Any]]:
    """The list of where to go next: number, open ground, and a reference inside."""
    code, country = covered.ground.site.code, covered.ground.site.country
    return [
        {
            "label": _("Gap %(code)s %(number)s") % {"code": code, "number": number},
            "open_m2": round(gap.open_m2, -1),
            "where": describe_position(gap.lon, gap.lat, GAP_ACCURACY_M, country),
        }
        for number, gap in enumerate(gaps, 1)
    ]


def picture_of(covered: Covered) -> bytes | None:
    """A PNG, north up: covered ground darker with every pass, gaps hatched; None where nothing can be drawn."""
    return picture(covered.counts, covered.site) if covered.grid else None


def covers_since(site_id: int, since: date | None) -> Any:
    """Covers of a site from the day it was last seen freshly cultivated; all of them if it never was."""
    rows = TrackCover.objects.filter(site=site_id).select_related("track").order_by("pk")
    rows = rows.defer("track__trace", "track__line", "track__notes")
    return rows if since is None else rows.filter(track__hunt__on__gte=since)
