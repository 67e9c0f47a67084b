"""What several reports share: the hunt's people, its holes and finds as a landholder may see them, and its map."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.models import Find
from geo.measure import to_shape
from geo.position import Country
from geo.svgmap import NATIONAL_GRID, GroundShape, HoleMark, Layers, Mark, Shape, svg_map
from geo.svgmap import Ground as GroundKind
from hunts.models import Attendance, Hole, Hunt
from people.models import Club
from people.sensitivity import Precision, Reader, ShownPoint, show_record
from permissions.models import Landholder, Site, SiteParty
from permissions.models.site import Capacity, SitePartyQuerySet
from reports.blocks import Fact, MapBlock, Photo


@dataclass(frozen=True, slots=True)
class Ground:
    """The part of one hunt that concerns one reader: their sites, with holes and finds there."""

    hunt: Hunt
    club: Club
    landholder: Landholder | None
    sites: list[Site]
    boundaries: list[dict[str, Any]]
    holes: list[Hole]
    finds: list[Find]
    attendances: list[Attendance]
    reader: Reader = field(default_factory=Reader)


WITH_A_SAY = [Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]


def parties_of(hunt: Hunt) -> SitePartyQuerySet:
    """Who owned, farmed or acted for the hunt's sites on its day: the readers of its reports."""
    sites = hunt.hunt_sites.values("site")
    return SiteParty.objects.on(hunt.on).filter(site__in=sites, capacity__in=WITH_A_SAY)


def ground_of(hunt: Hunt, landholder: Landholder | None) -> Ground:
    """Everything of `hunt` on the land where `landholder` had a say that day; on all of it for None.

    The number of queries does not grow with holes and finds.
    """
    links = hunt.hunt_sites.select_related("site", "boundary").prefetch_related("site__no_go")
    if landholder is not None:
        links = links.filter(site__in=parties_of(hunt).filter(landholder=landholder).values("site"))
    rows = list(links)
    sites = [link.site for link in rows]
    holes = Hole.objects.filter(hunt=hunt, site__in=sites).select_related("site", "digger", "checked_by")
    finds = (
        Find.objects.filter(hunt=hunt, site__in=sites, withdrawn_at=None)
        .detailed()
        .prefetch_related("custody", "cases")
        .order_by("number")
    )
    attendances = Attendance.objects.filter(sign_up__hunt=hunt).select_related("sign_up__user")
    return Ground(
        hunt=hunt,
        club=Club.objects.filter(pk=1).first() or Club(name=_("The club")),
        landholder=landholder,
        sites=sites,
        boundaries=[link.boundary.geometry for link in rows],
        holes=list(holes.prefetch_related("photos")),
        finds=list(finds),
        attendances=list(attendances),
        reader=reader_by_terms(hunt),
    )


def reader_by_terms(hunt: Hunt) -> Reader:
    """A landholder with a say as the terms of `hunt` have it. Without terms on record they get no findspot."""
    return Reader(
        is_landholder_with_terms=hunt.permission is not None and hunt.permission.findspots_to_landholder
    )


def where(record: Hole | Find, reader: Reader) -> ShownPoint | None:
    """The place as this report's reader may see it. A hole that is not locked is shown: it is their ground."""
    return show_record(record, reader if isinstance(record, Find) else Reader(is_landholder_with_terms=True))


def place_words(record: Hole | Find, reader: Reader) -> str:
    point = where(record, reader)
    if point is not None:
        return point.label
    return _("kept back for now") if record.locked else _("not recorded")


def site_names(ground: Ground) -> str:
    return ", ".join(f"{site.name} ({site.code})" for site in ground.sites)


def heads(ground: Ground, *, named: bool = True) -> str:
    """Everybody who signed in. A junior is counted and not named: a child's name is nobody else's business."""
    guests = [row for row in ground.hunt.guests.all() if row.signed_in_at]
    if not named:
        return str(len(ground.attendances) + len(guests))
    names = sorted(row.sign_up.user.name for row in ground.attendances)
    names += sorted(_("%(row_name)s (guest)") % {"row_name": row.name} for row in guests if not row.is_junior)
    if juniors := sum(row.is_junior for row in guests):
        names.append(
            _n(
                "%(juniors)s junior with their responsible adult",
                "%(juniors)s juniors with their responsible adult",
                juniors,
            )
            % {"juniors": juniors}
        )
    count = len(ground.attendances) + len(guests)
    return f"{count}: {', '.join(names)}" if count else _("nobody was signed in")


def hours(hunt: Hunt) -> str:
    return hunt.hours_words


def long_day(day: date) -> str:
    return date_format(day, "l j F Y")


def ground_map(
    ground: Ground, *, finds: bool, covered: Sequence[Shape] = (), height_px: int = 760
) -> MapBlock | None:
    """A drawn map of boundaries, ground covered, holes and, where the reader may see them, finds."""
    if not ground.boundaries:
        return None
    shapes = zip(ground.boundaries, ground.sites, strict=True)
    layers = Layers(
        boundaries=[Shape(to_shape(shape), site.code) for shape, site in shapes],
        no_go=[
            Shape(to_shape(area.geometry), area.reason) for site in ground.sites for area in site.no_go.all()
        ],
        covered=covered,
        holes=[mark for hole in ground.holes if (mark := _hole_mark(hole, ground.reader))],
        finds=[drawn for find in ground.finds if finds and (drawn := _find_mark(find, ground.reader))],
        ground=background_of(ground.club),
        grid=NATIONAL_GRID if ground.sites[0].country == Country.GB else None,
    )
    filled = sum(hole.state != "dug" for hole in ground.holes)
    alt = _("Map of %(site_names)s with %(ground_holes)s holes, of which %(filled)s are filled.") % {
        "site_names": site_names(ground),
        "ground_holes": len(ground.holes),
        "filled": filled,
    }
    if covered:
        alt += _(" The ground that was walked with a track is shaded.")
    return MapBlock(svg_map(layers, height_px=height_px, title=alt), alt)


def background_of(club: Club) -> list[GroundShape]:
    """The club's own background: hedges, tracks, becks, woods and buildings."""
    kinds = set(GroundKind)
    return [
        GroundShape(GroundKind(feature["properties"]["kind"]), to_shape(feature["geometry"]))
        for feature in club.background.get("features", [])
        if feature.get("properties", {}).get("kind") in kinds
    ]


def _hole_mark(hole: Hole, reader: Reader) -> HoleMark | None:
    point = where(hole, reader)
    return HoleMark(point.lon, point.lat, hole.state != "dug", str(hole.number)) if point else None


def _find_mark(find: Find, reader: Reader) -> Mark | None:
    point = where(find, reader)
    if point is None or point.precision is not Precision.FULL:
        return None
    return Mark(point.lon, point.lat, find.number)


def find_photos(finds: Sequence[Find]) -> tuple[Photo, ...]:
    """One photograph a find, in the order given."""
    shown = [(find, next(iter(find.photos.all()), None)) for find in finds]
    return tuple(
        Photo(
            f"find-{photo.pk}",
            _("%(find_object_type)s, number %(find_number)s")
            % {"find_object_type": find.object_type, "find_number": find.number},
            f"{find.number} {find.object_type}",
        )
        for find, photo in shown
        if photo is not None
    )


def head_facts(ground: Ground) -> tuple[Fact, ...]:
    hunt = ground.hunt
    return (
        Fact(_("Visit"), long_day(hunt.on)),
        Fact(_("Hours"), hours(hunt)),
        Fact(_("Fields"), site_names(ground)),
        Fact(_("Leader"), hunt.leader.name),
    )


def clock_time(moment: datetime | None) -> str:
    return date_format(localtime(moment), "j M Y H:i") if moment else "–"
