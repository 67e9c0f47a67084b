"""Ground covered: what tracks covered of each site since it was last cultivated, as far as the reader may see tracks.

Planners and those who see every hole are given all tracks together, without whose or of which day; everybody else
their own, and those of hunts that they lead (hunts/cover_screens.py). Shapes are drawn when they are asked for, so a
page holds few of them, and how many a box would match is not known beforehand.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

import shapely
from django.db.models import DateField, Exists, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import COUNTED, UNKNOWN, Box, Extent, Feature, Page, Property, Query
from doors.rows.base import TableRows, bounds_meet, bounds_of, cut
from geo.cover_shape import rough_outline
from hunts.cover_page import Covered, covered_of
from hunts.cover_screens import sees_site_cover
from hunts.ground import grounds_now
from hunts.models import Track, TrackCover
from people.models import User
from permissions.models import FieldState, Site

PROPERTIES = {
    "site": Property("string", _lazy("Site code"), lookup="code"),
    "since": Property(
        "string",
        _lazy("Since"),
        _lazy("When the field was last seen freshly cultivated; empty: all tracks."),
        format="date",
    ),
    "tracks": Property(
        "string",
        _lazy("Whose tracks"),
        _lazy("all: of everybody; own: the reader's own and those of hunts they led."),
        choices=("all", "own"),
    ),
    "covered_m2": Property("number", _lazy("Ground covered"), unit="m2"),
    "searchable_m2": Property("number", _lazy("Area without no-go ground"), unit="m2"),
    "covered_percent": Property("number", _lazy("Share covered"), unit="%"),
    "precision": Property(
        "string", _lazy("Precision"), _lazy("Drawn in blocks of a metre, to look at; areas are exact.")
    ),
}
LONG_AGO = date(1, 1, 1)


class GroundRows(TableRows):
    """Sites on which the reader may see tracks since the last cultivation."""

    most = 20

    def visible_to(self, user: User) -> Any:
        states = FieldState.objects.filter(site=OuterRef("pk"), cultivated=True).order_by("-on").values("on")
        rows = Site.objects.visible_to(user).annotate(since=Subquery(states[:1]))
        covers = _covers(user).filter(
            site=OuterRef("pk"), track__hunt__on__gte=_or_long_ago(OuterRef("since"))
        )
        return rows.filter(Exists(covers), min_lon__isnull=False)

    def within(self, rows: Any, box: Box, user: User) -> Any:
        """Those whose site is near enough; `page` looks at the shapes."""
        return rows.filter(bounds_meet(box))

    def page(self, rows: Any, query: Query, user: User, *, at: datetime) -> Page:
        if query.bbox is None:
            return super().page(rows, query, user, at=at)
        found, more = cut(rows, query, self.most)
        area = query.bbox.shape
        shown = [
            each
            for each in self.shown(found, user, at=at)
            if each.geometry is None or shapely.intersects(area, each.geometry)
        ]
        before = found[0].pk if found and rows.filter(pk__lt=found[0].pk).exists() else None
        return Page(shown, None, found[-1].pk if found and more else None, before)

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        sites = [site.pk for site in rows]
        covers = defaultdict(list)
        found = _covers(user).filter(site__in=sites).select_related("track__hunt").order_by("pk")
        for row in found.defer("track__trace", "track__line", "track__notes", "track__hunt__gate_answer"):
            covers[row.site_id].append(row)
        grounds = {each.site.pk: each for each in grounds_now(Site.objects.filter(pk__in=sites))[0]}
        return [_feature(site, grounds.get(site.pk), covers[site.pk], user) for site in rows]

    def extent(self, user: User) -> Extent:
        return Extent(bounds_of(self.visible_to(user)))


def _or_long_ago(day: Any) -> Any:
    return Coalesce(day, Value(LONG_AGO), output_field=DateField())


def _covers(user: User) -> Any:
    rows = TrackCover.objects.order_by()
    return (
        rows
        if sees_site_cover(user)
        else rows.filter(track__in=Track.objects.visible_to(user).order_by().values("pk"))
    )


def _feature(site: Any, ground: Any, covers: Iterable[TrackCover], user: User) -> Feature:
    said = {"site": site.code, "since": site.since, "tracks": "all" if sees_site_cover(user) else "own"}
    said |= dict.fromkeys(("covered_m2", "searchable_m2", "covered_percent")) | {"precision": UNKNOWN}
    since = site.since or LONG_AGO
    recent = [row for row in covers if row.track.hunt.on >= since]
    covered = covered_of(ground, recent) if ground else None
    if covered is None or covered.grid is None or covered.figures is None:
        return Feature(str(site.pk), None, said)
    said |= {
        "covered_m2": round(covered.figures.drawn_m2, 1),
        "searchable_m2": round(covered.ground.area_m2, 1),
        "covered_percent": round(100 * covered.figures.drawn_share, 2),
        "precision": COUNTED,
    }
    return Feature(str(site.pk), _outline(covered), said)


def _outline(covered: Covered) -> shapely.Geometry | None:
    cells = (covered.counts > 0) & covered.site
    shape = rough_outline(covered.grid, cells) if covered.grid and cells.any() else None
    return None if shape is None or shape.is_empty else shape
