"""The map of finds as a reader may see it: a layer of GeoJSON for a frame, a picture, and the list beside them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import shapely
from django.core.paginator import Paginator
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import ngettext as _n

from finds import map_query
from finds.map_query import EXACT, SQUARES, Frame, Layer
from finds.models import Find
from finds.models.find import FindQuerySet
from finds.screens import find_rows
from finds.squares import square_at
from geo.measure import to_shape
from geo.svgmap import Layers, Mark, Shape, svg_map
from people.models import User
from people.rights import Right
from people.sensitivity import Precision, Reader, precision_for
from permissions.maps import site_feature
from permissions.models import Site
from web.paging import A_PAGE

SITES_FROM = 12  # zoom
MOST_SITES = 200
MOST_MARKS = 300  # on a picture


@dataclass(frozen=True)
class FindsMap:
    """The finds that a reader may see on a map, narrowed, and the layer that may answer."""

    user: User
    finds: FindQuerySet
    layer: Layer

    @classmethod
    def of(cls, user: User, asked: Mapping[str, Any]) -> "FindsMap":
        """Locked finds are on no map, so that a map is not a look."""
        reader = Reader(is_member=bool(user.roles), sees_findspots=user.holds(Right.SEE_FINDSPOTS))
        is_full = precision_for(reader, locked=False) is Precision.FULL
        finds = map_query.narrowed(Find.objects.on_map_for(user), asked)
        return cls(user, finds, EXACT if is_full else SQUARES)

    @property
    def own(self) -> FindQuerySet:
        """The reader's own finds and those of hunts they led: seen in full by everybody."""
        return self.finds.filter(Q(finder=self.user) | Q(hunt__leader=self.user))

    def answer(self, frame: Frame | None) -> dict[str, Any]:
        """A FeatureCollection (RFC 7946) for the frame, or for all there is; `bbox` says what it shows."""
        frame = frame or self.layer.extent(self.finds)
        if frame is None:
            return {"type": "FeatureCollection", "features": []}
        features = [*self._sites(frame), *self._finds(frame)]
        bbox = [frame.west, frame.south, frame.east, frame.north]
        return {"type": "FeatureCollection", "bbox": bbox, "features": features}

    def _finds(self, frame: Frame) -> list[dict[str, Any]]:
        if self.layer is EXACT and frame.zoom >= map_query.POINTS_FROM:
            rows = map_query.points(self.finds, frame)
            if rows is not None:
                return [_point(*row) for row in rows]
        if self.layer is SQUARES and frame.zoom >= map_query.SQUARES_FROM:
            found = map_query.squares(self.finds, frame)
            if found is not None:
                own = map_query.points(self.own, frame) or []
                return [*(_square(*row) for row in found), *(_point(*row) for row in own)]
        return [_cluster(*row) for row in self.layer.clusters(self.finds, frame)]

    def _sites(self, frame: Frame) -> list[dict[str, Any]]:
        if frame.zoom < SITES_FROM:
            return []
        near = (
            Site.objects.visible_to(self.user)
            .current()
            .filter(
                min_lat__lte=frame.north,
                max_lat__gte=frame.south,
                min_lon__lte=frame.east,
                max_lon__gte=frame.west,
            )
        )
        return [site_feature(site, None) for site in near[:MOST_SITES] if site.boundary]

    def picture(self, title: str) -> str | None:
        """The same as SVG, for paper and for browsers without scripts; None where there is nothing to draw."""
        frame = self.layer.extent(self.finds)
        if frame is None:
            return None
        return svg_map(self._layers(frame), title=title)

    def _layers(self, frame: Frame) -> Layers:
        if self.layer is SQUARES:
            found = map_query.squares(self.finds, frame)
            if found is not None and len(found) <= MOST_MARKS:
                drawn = [(square_at(lon, lat), count) for count, lon, lat in found]
                return Layers(squares=[Shape(shapely.Polygon(each.ring), str(n)) for each, n in drawn])
            return Layers(finds=_cluster_marks(self.layer.clusters(self.finds, frame)))
        sites = self._boundaries()
        rows = map_query.points(self.finds, frame)
        if rows is not None and len(rows) <= MOST_MARKS:
            return Layers(boundaries=sites, finds=[Mark(row[3], row[4], row[1]) for row in rows])
        return Layers(boundaries=sites, finds=_cluster_marks(self.layer.clusters(self.finds, frame)))

    def _boundaries(self) -> list[Shape]:
        """The sites of these finds; none where there are too many to draw."""
        seen = Site.objects.visible_to(self.user).filter(pk__in=self.finds.order_by().values("site"))
        sites = list(seen[: MOST_SITES + 1])
        kept = [site for site in sites if site.boundary] if len(sites) <= MOST_SITES else []
        return [Shape(to_shape(site.boundary), site.code) for site in kept]


def _cluster_marks(rows: Iterable[tuple[int, float, float]]) -> list[Mark]:
    return [Mark(lon, lat, f"{count:,}") for count, lon, lat in rows]


def _feature(geometry: dict[str, Any], kind: str, label: str, **more: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, "label": label, **more}}


def _cluster(count: int, lon: float, lat: float) -> dict[str, Any]:
    spot = {"type": "Point", "coordinates": [round(lon, 6), round(lat, 6)]}
    return _feature(
        spot, "cluster", _n("%(count)s find", "%(count)s finds", count) % {"count": count}, count=count
    )


def _point(
    pk: int, number: str, what: str, lon: float, lat: float, accuracy_m: float | None
) -> dict[str, Any]:
    spot = {"type": "Point", "coordinates": [lon, lat]}
    url = reverse("finds:detail", args=[pk])
    return _feature(spot, "find", f"{number} {what}", url=url, accuracy_m=accuracy_m)


def _square(count: int, middle_lon: float, middle_lat: float) -> dict[str, Any]:
    square = square_at(middle_lon, middle_lat)
    shape = {"type": "Polygon", "coordinates": [[list(pair) for pair in square.ring]]}
    return _feature(
        shape,
        "square",
        square.label,
        word=_n("%(count)s find", "%(count)s finds", count) % {"count": count},
        count=count,
    )


def list_context(user: User, asked: Mapping[str, Any], page: str | None) -> dict[str, Any]:
    """The same finds as a list, and what the map leaves out for those who may know of it."""
    seen = map_query.narrowed(Find.objects.visible_to(user), asked)
    shown = Paginator(seen.detailed(), A_PAGE).get_page(page)
    locked = seen.filter(locked=True).count()
    placeless = seen.filter(locked=False, lat__isnull=True).count()
    return {
        "page": shown,
        "rows": find_rows(shown, user),
        "locked": locked,
        "placeless": placeless,
        "has_place": shown.paginator.count > locked + placeless,
        "is_full": user.holds(Right.SEE_FINDSPOTS),
        "may_see_patterns": user.holds(Right.SEE_FINDSPOTS),
        "is_narrowed": bool(asked),
    }
