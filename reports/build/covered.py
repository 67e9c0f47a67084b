"""The ground that tracks of a hunt covered, for the map of whoever has a say over that ground."""

from collections import defaultdict
from collections.abc import Sequence

from django.utils.translation import gettext as _

from geo.cover_shape import rough_outline
from geo.svglayers import Shape
from hunts.cover_page import Covered, covered_of, whole_percent
from hunts.ground import grounds_of
from hunts.models import Hunt, TrackCover
from permissions.models import Site


def covered_on(hunt: Hunt, sites: Sequence[Site]) -> list[Covered]:
    """What all tracks of the hunt covered together, for each of `sites` with a track; whose they were is not told."""
    rows = TrackCover.objects.filter(track__hunt=hunt, site__in=sites).select_related("track")
    by_site: dict[int, list[TrackCover]] = defaultdict(list)
    for row in rows.defer("track__trace", "track__line", "track__notes").order_by("pk"):
        by_site[row.site_id].append(row)
    if not by_site:
        return []
    grounds, _rest = grounds_of(hunt)
    return [covered_of(ground, by_site[ground.site.pk]) for ground in grounds if ground.site.pk in by_site]


def covered_shapes(covered: Sequence[Covered]) -> list[Shape]:
    """The covered ground as areas for a printed map."""
    shapes = []
    for each in covered:
        if each.grid is not None and (cells := (each.counts > 0) & each.site).any():
            shapes.append(Shape(rough_outline(each.grid, cells)))
    return shapes


def covered_words(covered: Sequence[Covered]) -> str:
    """One sentence a site, or that nobody kept a track."""
    said = [
        _("%(site_name)s: tracks cover %(whole_percent)s of the ground to search")
        % {"site_name": each.ground.site.name, "whole_percent": whole_percent(each.figures.drawn_share)}
        for each in covered
        if each.figures is not None
    ]
    return f"{'; '.join(said)}." if said else _("No track was kept, so the ground covered is not drawn.")
