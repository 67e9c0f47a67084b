"""The map on a landholder's page: their fields with ground covered, holes, and finds where the terms give places."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from django.utils.translation import gettext as _

from finds.models import Find
from geo.cover_shape import rough_outline
from geo.measure import to_shape
from geo.position import Country
from geo.svgmap import NATIONAL_GRID, HoleMark, Layers, Mark, Shape, svg_map
from hunts.cover_page import covered_of, whole_percent
from hunts.ground import SiteGround, grounds_now
from hunts.models import Hole, TrackCover
from hunts.states import HoleState
from people.models import Club
from people.sensitivity import Reader
from permissions.models import Site
from reports.blocks import MapBlock
from reports.build.common import background_of, where
from reports.landholder_finds import FindRow
from reports.landholder_scope import SiteId
from reports.landholder_sees import Sees
from reports.landholder_visits import Visit

HuntId = int
Covers = dict[tuple[HuntId, SiteId], list[TrackCover]]


def covers_of(visits: Sequence[Visit]) -> Covers:
    """The tracks' masks of these visits on fields where they may see ground covered. One query."""
    rows = TrackCover.objects.filter(track__hunt__in=[visit.hunt.pk for visit in visits])
    own = {(v.hunt.pk, site) for v in visits for site, seen in v.own.items() if seen.ground}
    found: Covers = defaultdict(list)
    for row in (
        rows.select_related("track").defer("track__trace", "track__line", "track__notes").order_by("pk")
    ):
        if (row.track.hunt_id, row.site_id) in own:
            found[row.track.hunt_id, row.site_id].append(row)
    return found


def grounds_for(sites: Iterable[SiteId]) -> dict[SiteId, SiteGround]:
    rows = Site.objects.filter(pk__in=list(sites)).order_by("code")
    return {ground.site.pk: ground for ground in grounds_now(rows)[0]}


def shares_in_words(
    visits: Sequence[Visit], covers: Covers, grounds: dict[SiteId, SiteGround]
) -> dict[HuntId, str]:
    """'Ten Acre 62 %' for each visit with a track."""
    said: dict[HuntId, str] = {}
    for visit in visits:
        rows = ((grounds[s], covers[visit.hunt.pk, s]) for s in visit.own if s in grounds)
        figures = [(ground, covered_of(ground, each).figures) for ground, each in rows if each]
        words = [f"{g.site.name} {whole_percent(f.drawn_share)}" for g, f in figures if f is not None]
        said[visit.hunt.pk] = ", ".join(words)
    return said


def land_map(
    club: Club,
    seen: dict[SiteId, Sees],
    visits: Sequence[Visit],
    finds: Sequence[FindRow],
    covers: Covers,
    grounds: dict[SiteId, SiteGround],
) -> MapBlock | None:
    """Their fields as they are bounded today; None where nothing may be shown or no boundary is drawn.

    A visit whose find or hole is locked lends no track to the map: a track stops where somebody dug.
    """
    drawn = [ground for site, ground in grounds.items() if site in seen and seen[site].ground]
    if not drawn:
        return None
    sites = {ground.site.pk for ground in drawn}
    holes = _holes(visits, sites)
    held = _held(visits)
    layers = Layers(
        boundaries=[Shape(ground.boundary, ground.site.code) for ground in drawn],
        no_go=[Shape(to_shape(a.geometry), a.reason) for g in drawn for a in g.site.no_go.all()],
        covered=[shape for ground in drawn if (shape := _covered(ground, covers, held))],
        holes=[mark for hole in holes if (mark := _mark(hole))],
        finds=[
            Mark(row.point.lon, row.point.lat, row.find.number)
            for row in finds
            if row.point and row.find.site_id in sites
        ],
        ground=background_of(club),
        grid=NATIONAL_GRID if drawn[0].site.country == Country.GB else None,
    )
    names = ", ".join(ground.site.name for ground in drawn)
    still = sum(hole.state == HoleState.DUG for hole in holes)
    alt = _(
        "Map of %(names)s: the ground that was covered, %(holes)s holes, %(still)s of them not filled yet."
    ) % {"names": names, "holes": len(holes), "still": still}
    kept = _(" The ground of visits with a find that the law asks about is not drawn until that is settled.")
    return MapBlock(
        svg_map(layers, title=alt),
        alt,
        _("Covered by the visits listed above.%(value)s") % {"value": kept if held else ""},
    )


def _holes(visits: Sequence[Visit], sites: set[SiteId]) -> list[Hole]:
    may = {(v.hunt.pk, site) for v in visits for site, seen in v.own.items() if seen.holes}
    rows = Hole.objects.filter(hunt__in=[v.hunt.pk for v in visits], site__in=sites).select_related("site")
    return [hole for hole in rows.defer("site__boundary") if (hole.hunt_id, hole.site_id) in may]


def _held(visits: Sequence[Visit]) -> set[HuntId]:
    ids = [visit.hunt.pk for visit in visits]
    finds: Any = Find.objects.filter(hunt__in=ids, locked=True, withdrawn_at=None)
    return {*finds.values_list("hunt", flat=True), *_locked_holes(ids)}


def _locked_holes(ids: list[HuntId]) -> Any:
    return Hole.objects.filter(hunt__in=ids, locked=True).values_list("hunt", flat=True)


def _covered(ground: SiteGround, covers: Covers, held: set[HuntId]) -> Shape | None:
    site = ground.site.pk
    rows = [row for (hunt, at), each in covers.items() if at == site and hunt not in held for row in each]
    covered = covered_of(ground, rows) if rows else None
    if covered is None or covered.grid is None or not (cells := (covered.counts > 0) & covered.site).any():
        return None
    return Shape(rough_outline(covered.grid, cells))


def _mark(hole: Hole) -> HoleMark | None:
    """A hole on their own ground is shown, unless it is locked."""
    point = where(hole, Reader(is_landholder_with_terms=True))
    return HoleMark(point.lon, point.lat, hole.state != HoleState.DUG) if point else None
