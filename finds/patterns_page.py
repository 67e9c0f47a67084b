"""The page of patterns, put together for readers who may see findspots."""

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator

from finds import density, pattern_charts, patterns
from finds.density import SiteDensity, Surface
from finds.models.find import FindQuerySet
from people.models import User
from tongue import figure

A_PAGE = 20  # sites: each is worked out from every track on it


def patterns_context(user: User, asked: Mapping[str, Any], page: str | None) -> dict[str, Any]:
    """Counts, ground, dates and hours of the finds that the filters leave in."""
    finds = patterns.seen_finds(user, asked)
    total = finds.count()
    made = {"total": total, "is_narrowed": bool(asked), "locked": finds.filter(locked=True).count()}
    return (
        made
        | _counts(finds)
        | _dates(finds, asked)
        | _hours(user, asked, finds)
        | _ground(user, asked, finds, page)
    )


def _counts(finds: FindQuerySet) -> dict[str, Any]:
    return {
        "by_period": pattern_charts.counts(patterns.by_period(finds)),
        "by_material": pattern_charts.counts(patterns.by_material(finds)),
        "crossed": patterns.crossed(finds),
    }


def _dates(finds: FindQuerySet, asked: Mapping[str, Any]) -> dict[str, Any]:
    dates = patterns.dates(finds, asked)
    return {"dates": dates, "columns": pattern_charts.columns(dates)}


def _hours(user: User, asked: Mapping[str, Any], finds: FindQuerySet) -> dict[str, Any]:
    efforts = patterns.efforts(user, asked, finds)
    told = [
        (row.words, row.hours_a_find, f"{figure(f'{row.hours_a_find:.1f}')} h")
        for row in efforts.sites
        if row.hours_a_find
    ]
    return {"efforts": efforts, "hour_bars": pattern_charts.bars(told[: patterns.MOST_ROWS])}


def _ground(user: User, asked: Mapping[str, Any], finds: FindQuerySet, page: str | None) -> dict[str, Any]:
    """A number for each site of the page; the surface where one site is asked for."""
    hunts = patterns.hunts_asked(user, asked)
    sites = density.sites_covered(hunts)
    if "site" in asked:
        sites = sites.filter(code__iexact=asked["site"])
    shown = Paginator(sites, A_PAGE).get_page(page)
    rows = density.densities(shown.object_list, hunts, finds)
    told = [
        (str(row.site), row.finds_a_ha, figure(f"{row.finds_a_ha:.1f}"))
        for row in rows
        if row.finds_a_ha is not None
    ]
    return {
        "page": shown,
        "densities": rows,
        "density_bars": pattern_charts.bars(told),
        "one": _one(rows[0], hunts, finds) if "site" in asked and rows else None,
    }


def _one(row: SiteDensity, hunts: Any, finds: FindQuerySet) -> dict[str, Any]:
    made: Surface | None = density.surface(row, hunts, finds)
    if made is None:
        return {"site": row.site, "surface": None, "least": density.LEAST_FINDS}
    legend = [each | pattern_charts.shade(each["level"]) for each in made.rows]
    return {"site": row.site, "surface": made, "blocks": pattern_charts.blocks(made), "legend": legend}
