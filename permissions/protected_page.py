"""What the pages of protected places show: the layers with their age, one layer, and a file before it is saved."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import shapely
from django.core.paginator import Paginator
from django.db.models import Count, Max, Min

from geo.measure import to_shape
from people.models import User
from people.rights import Right
from permissions.gate import DEFAULT_POLICY
from permissions.import_page import club_place
from permissions.maps import background, drawn_feature, protected_feature, sites_on_map
from permissions.models import ImportDraft, ProtectedLayer, ProtectedNear, ProtectedPlace, Site
from permissions.protected import PlaceIndex
from web.paging import A_PAGE

ON_THE_MAP = 300
_AROUND_DEG = 0.5
_EXAMPLE = 40


@dataclass(frozen=True)
class LayerRow:
    """A layer with how many places it has, on how many sites they lie, and whether its data are over a year old."""

    layer: ProtectedLayer
    places: int
    shut: int
    ask: int
    is_old: bool


def layer_rows(layers: Iterable[ProtectedLayer], on: date) -> list[LayerRow]:
    """The layers with their counts: three queries however many there are."""
    places = dict(
        ProtectedPlace.objects.values_list("layer")
        .annotate(n=Count("pk"))
        .order_by()
        .values_list("layer", "n")
    )
    near = ProtectedNear.objects.filter(site__retired_on__isnull=True)
    near_counts = (
        near.values_list("place__layer", "relation").annotate(n=Count("site", distinct=True)).order_by()
    )
    sites = {(layer, relation): n for layer, relation, n in near_counts}
    oldest = on - timedelta(DEFAULT_POLICY.protected_check_days)
    return [
        LayerRow(
            layer,
            places.get(layer.pk, 0),
            sites.get((layer.pk, ProtectedNear.Relation.TOUCHES), 0),
            sites.get((layer.pk, ProtectedNear.Relation.IN_BUFFER), 0),
            layer.data_on < oldest,
        )
        for layer in layers
    ]


def layers_context(user: User, on: date) -> dict[str, Any]:
    layers = ProtectedLayer.objects.visible_to(user).select_related("imported_by")
    return {"rows": layer_rows(layers, on), "may_manage": user.holds(Right.MANAGE_LAND)}


def layer_context(layer: ProtectedLayer, user: User, on: date, page: str | None) -> dict[str, Any]:
    """One layer: the sites it shuts or lets ask, and its places page by page on the map."""
    near = ProtectedNear.objects.filter(place__layer=layer, site__in=Site.objects.visible_to(user).current())
    near = near.select_related("site", "place").defer("place__geometry")
    shown = Paginator(layer.places.all(), A_PAGE).get_page(page)
    features = sites_on_map({row.site.pk: row.site for row in near}.values(), {})
    features["features"] += [protected_feature(p.geometry, str(p)) for p in shown.object_list]
    return {
        "row": layer_rows([layer], on)[0],
        "layer": layer,
        "near": list(near),
        "page": shown,
        "layers": {"places": features, "ground": background()},
        "may_manage": user.holds(Right.MANAGE_LAND),
    }


def ground_asked_for() -> tuple[float, float, float, float] | None:
    """West, south, east and north of the ground that layers are kept for: half a degree round all sites and the club.

    None where there is neither: then everything is kept.
    """
    names = ("min_lon", "min_lat", "max_lon", "max_lat")
    sites = Site.objects.current().aggregate(
        min_lon=Min("min_lon"), min_lat=Min("min_lat"), max_lon=Max("max_lon"), max_lat=Max("max_lat")
    )
    boxes = [tuple(sites[name] for name in names)] if sites["min_lon"] is not None else []
    if club := club_place():
        boxes.append((*club, *club))
    if not boxes:
        return None
    wests, souths, easts, norths = zip(*boxes, strict=True)
    aside = _AROUND_DEG * 1.7  # a degree of longitude is that much shorter in the middle of Britain
    return min(wests) - aside, min(souths) - _AROUND_DEG, max(easts) + aside, max(norths) + _AROUND_DEG


def attributes_of(draft: ImportDraft) -> list[tuple[str, str]]:
    """The attributes of the file's places, each with an example, in the order of the file."""
    found: dict[str, str] = {}
    for shape in draft.shapes[:A_PAGE]:
        for name, value in shape["properties"].items():
            if value not in (None, "") and name not in found:
                found[name] = str(value)[:_EXAMPLE]
    return list(found.items())


def draft_context(draft: ImportDraft, user: User, margin_m: float) -> dict[str, Any]:
    """A file of places on the map with the sites it would shut or let ask, before anything is saved."""
    sites = [site for site in Site.objects.visible_to(user).current() if site.boundary]
    places = [
        (ProtectedPlace(name=shape["name"], geometry=shape["geometry"]), margin_m) for shape in draft.shapes
    ]
    index = PlaceIndex(places)
    near = [(site, lie) for site in sites for lie in index.near(site.boundary)]
    features = sites_on_map({site.pk: site for site, _ in near}.values(), {})
    shown = _nearest(draft, [lie.place for _, lie in near])
    features["features"] += [drawn_feature(place.geometry, place.name) for place in shown]
    return {
        "draft": draft,
        "near": near,
        "margin_m": margin_m,
        "total": len(draft.shapes),
        "shown": len(shown),
        "layers": {"places": features, "ground": background()},
    }


def _nearest(draft: ImportDraft, first: list[ProtectedPlace]) -> list[ProtectedPlace]:
    """The places to draw: those that matter to a site, then those nearest to the club, up to `ON_THE_MAP`."""
    known = {id(place.geometry) for place in first}
    rest = [s for s in draft.shapes if id(s["geometry"]) not in known]
    if (club := club_place()) and len(rest) > ON_THE_MAP:
        here = shapely.Point(club)
        rest.sort(key=lambda s: to_shape(s["geometry"]).distance(here))
    others = [ProtectedPlace(name=s["name"], geometry=s["geometry"]) for s in rest[:ON_THE_MAP]]
    return [*first, *others][:ON_THE_MAP]
