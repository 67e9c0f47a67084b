"""Add a site, change what is known of it, and redraw its boundary."""

from datetime import datetime
from typing import Any

from django.db import transaction

from geo.measure import difference, overlap
from geo.polygon import CheckedBoundary
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.actions.compare import compare_site
from permissions.models import Boundary, Site, SiteOverlap
from permissions.shared_ground import EDGE_ACCURACY_M
from web.taken import create_once


@transaction.atomic
def add_site(
    *, by: User, at: datetime, boundary: CheckedBoundary | None, source: str = "drawn", **fields: Any
) -> Site:
    """Add a site with its first boundary, or without one: then no hunt can be planned there before it is drawn.

    Sent twice it is one site. Raises TakenError for a code in use.
    """
    require(by, Right.MANAGE_LAND)
    columns = {} if boundary is None else _columns(boundary)
    site, made = create_once(Site, unique="code", **fields, **columns)
    if made and boundary is not None:
        _keep(site, boundary, source, by=by, at=at)
        audit.record(
            "site.add", site, by=by, at=at, area_m2=round(boundary.area_m2), notes=list(boundary.notes)
        )
    elif made:
        audit.record("site.add", site, by=by, at=at, boundary="none yet")
    return site


@transaction.atomic
def change_site(site_id: int, *, by: User, at: datetime, **fields: Any) -> Site:
    """Change what is known of a site, all but its boundary."""
    require(by, Right.MANAGE_LAND)
    site = Site.objects.select_for_update().get(pk=site_id)
    changed = [name for name, value in fields.items() if getattr(site, name) != value]
    for name in changed:
        setattr(site, name, fields[name])
    if changed:
        site.save(update_fields=changed)
        audit.record("site.change", site, by=by, at=at, changed=changed)
    return site


@transaction.atomic
def redraw_site(
    site_id: int, *, by: User, at: datetime, boundary: CheckedBoundary, source: str = "drawn"
) -> Site:
    """Give the site a new boundary; the old one stays for the hunts of its time. The same line twice is one."""
    require(by, Right.MANAGE_LAND)
    site = Site.objects.select_for_update().get(pk=site_id)
    if site.boundary == boundary.geometry:
        return site
    before = site.area_m2
    for name, value in _columns(boundary).items():
        setattr(site, name, value)
    site.no_go_share = no_go_share_of(site)
    site.save(update_fields=[*_columns(boundary), "no_go_share"])
    _keep(site, boundary, source, by=by, at=at)
    audit.record(
        "site.redraw",
        site,
        by=by,
        at=at,
        notes=list(boundary.notes),
        before_m2=round(before),
        area_m2=round(boundary.area_m2),
    )
    return site


def _columns(boundary: CheckedBoundary) -> dict[str, Any]:
    west, south, east, north = boundary.bounds
    return {
        "boundary": boundary.geometry,
        "area_m2": boundary.area_m2,
        "min_lon": west,
        "min_lat": south,
        "max_lon": east,
        "max_lat": north,
    }


def _keep(site: Site, boundary: CheckedBoundary, source: str, *, by: User, at: datetime) -> None:
    Boundary.objects.create(
        site=site,
        geometry=boundary.geometry,
        area_m2=boundary.area_m2,
        drawn_at=at,
        drawn_by=by,
        source=source,
        notes=list(boundary.notes),
    )
    _find_overlaps(site)
    compare_site(site)


def _find_overlaps(site: Site) -> None:
    """Work out anew which other sites in use share ground with this one: only those whose boxes meet are measured."""
    SiteOverlap.objects.filter(site=site).delete()
    SiteOverlap.objects.filter(other=site).delete()
    near = Site.objects.current().exclude(pk=site.pk)
    near = near.filter(min_lon__lt=site.max_lon, max_lon__gt=site.min_lon)
    for other in near.filter(min_lat__lt=site.max_lat, max_lat__gt=site.min_lat):
        shared = overlap(site.boundary, other.boundary, accuracy_m=EDGE_ACCURACY_M)
        if shared.counts:
            SiteOverlap.objects.create(site=site, other=other, shared_m2=shared.area_m2)
            SiteOverlap.objects.create(site=other, other=site, shared_m2=shared.area_m2)


def no_go_share_of(site: Site) -> float:
    """The share of the site's area, 0 to 1, that no-go ground and its margins take away."""
    areas = [(area.geometry, area.buffer_m) for area in site.no_go.all()]
    if not areas or not site.area_m2:
        return 0.0
    return min(difference(site.boundary, areas).removed_m2 / site.area_m2, 1.0)
