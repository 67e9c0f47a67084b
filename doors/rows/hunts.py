"""Hunts: each with the ground as it was bounded on the day."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from typing import Any

import shapely
from django.db.models import F, OuterRef, Q, Subquery
from django.utils.timezone import localtime
from django.utils.translation import gettext_lazy as _lazy

from doors.feature import DRAWN, UNKNOWN, Box, Extent, Feature, Property
from doors.rows.base import TableRows, bounds_of, joined, meeting
from geo.measure import to_shape
from hunts.models import Hunt, HuntSite
from hunts.states import HuntState
from people.models import User
from permissions.models import Boundary, Site

PROPERTIES = {
    "code": Property("string", _lazy("Hunt code"), lookup="code"),
    "title": Property("string", _lazy("Title"), lookup="title"),
    "on": Property("string", _lazy("Date"), format="date", lookup="on"),
    "begins": Property("string", _lazy("Start"), format="date-time"),
    "finishes": Property("string", _lazy("Finish"), format="date-time"),
    "state": Property(
        "string", _lazy("State"), lookup="state", choices=tuple(state.value for state in HuntState)
    ),
    "past_outing": Property(
        "boolean", _lazy("Past outing"), _lazy("Entered later, from older records; its times may be unknown.")
    ),
    "leader": Property("string", _lazy("Leader"), lookup="leader__name"),
    "sites": Property("string", _lazy("Site codes"), _lazy("With a semicolon between them.")),
    "places": Property("integer", _lazy("Places"), lookup="capacity"),
    "meeting_point": Property("string", _lazy("Meeting point")),
    "precision": Property("string", _lazy("Precision"), _lazy("The boundary as it was drawn on that day.")),
}


class HuntRows(TableRows):
    """Every hunt that the reader may see; one lasts from its start to its finish."""

    def visible_to(self, user: User) -> Any:
        return Hunt.objects.visible_to(user).select_related("leader")

    def within(self, rows: Any, box: Box, user: User) -> Any:
        touched = HuntSite.objects.filter(boundary__in=_meeting(_used(rows), box)).values("hunt")
        return rows.filter(Q(hunt_sites__isnull=True) | Q(pk__in=touched)).distinct()

    def during(self, rows: Any, since: datetime | None, until: datetime | None) -> Any:
        """Those that last into the interval: by the club's own clock, as start and finish are kept."""
        if since is not None:
            day, clock = localtime(since).date(), localtime(since).time()
            rows = rows.filter(Q(on__gt=day) | Q(on=day, ends_at__gte=clock))
        if until is not None:
            day, clock = localtime(until).date(), localtime(until).time()
            rows = rows.filter(Q(on__lt=day) | Q(on=day, starts_at__lte=clock))
        return rows

    def shown(self, rows: Any, user: User, *, at: datetime) -> list[Feature]:
        ground = defaultdict(list)
        on = HuntSite.objects.filter(hunt__in=[hunt.pk for hunt in rows]).select_related("boundary")
        for row in on.annotate(code=F("site__code")).order_by("pk"):
            ground[row.hunt_id].append((row.code, row.boundary.geometry))
        return [_feature(hunt, ground[hunt.pk]) for hunt in rows]

    def extent(self, user: User) -> Extent:
        rows = self.visible_to(user).order_by()
        used = _used(rows)
        older = [to_shape(shape).bounds for shape in used.exclude(_NEWEST).values_list("geometry", flat=True)]
        box = joined(bounds_of(_sites_of(used)), *(Box(*bounds) for bounds in older))
        first, last = rows.order_by("on", "starts_at").first(), rows.order_by("-on", "-ends_at").first()
        return Extent(box, first and first.begins, last and last.finishes)


def _used(hunts: Any) -> Any:
    """The boundaries on which these hunts took place; `newest` is what the site's own columns mirror."""
    newest = Boundary.objects.filter(site=OuterRef("site")).order_by("-drawn_at", "-pk").values("pk")[:1]
    within = HuntSite.objects.filter(hunt__in=hunts.order_by().values("pk")).values("boundary")
    return Boundary.objects.filter(pk__in=within).order_by().annotate(newest=Subquery(newest))


_NEWEST = Q(pk=F("newest"))


def _sites_of(used: Any) -> Any:
    return Site.objects.filter(pk__in=used.filter(_NEWEST).values("site"))


def _meeting(used: Any, box: Box) -> list[int]:
    """Boundaries that meet the box: by the site's bounds, or by the shape where those do not say."""
    bounds = "site__min_lon", "site__min_lat", "site__max_lon", "site__max_lat"
    inside: list[int] = []
    unclear: list[int] = []
    for pk, newest, *edges in used.values_list("pk", "newest", *bounds):
        if pk != newest or None in edges:
            unclear.append(pk)
        elif shapely.intersects(box.shape, shapely.box(*edges)):
            (inside if shapely.covers(box.shape, shapely.box(*edges)) else unclear).append(pk)
    return inside + meeting(Boundary.objects.filter(pk__in=unclear).values_list("pk", "geometry"), box)


def _feature(hunt: Hunt, ground: Iterable[tuple[str, Any]]) -> Feature:
    kept = list(ground)
    said = {
        "code": hunt.code,
        "title": hunt.title,
        "on": hunt.on,
        "begins": hunt.begins,
        "finishes": hunt.finishes,
        "state": str(hunt.state),
        "past_outing": hunt.is_past_outing,
        "leader": hunt.leader.name,
        "sites": "; ".join(code for code, _ in kept),
        "places": hunt.capacity,
        "meeting_point": hunt.meeting_point,
        "precision": DRAWN if kept else UNKNOWN,
    }
    return Feature(str(hunt.pk), _shape([shape for _, shape in kept]), said)


def _shape(shapes: list[Any]) -> shapely.Geometry | None:
    return shapely.union_all([to_shape(shape) for shape in shapes]) if shapes else None
