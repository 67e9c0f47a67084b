"""What the land pages put on their maps: boundaries with the gate's answer, no-go ground and the way in."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from people.models import Club, User
from permissions.gate import Decision
from permissions.models import NoGoArea, Site

WORDS = {"open": _lazy("open"), "ask": _lazy("ask first"), "shut": _lazy("shut")}


def sites_on_map(sites: Iterable[Site], answers: Mapping[int, Decision]) -> dict[str, Any]:
    """A GeoJSON collection of boundaries; `answers` may lack sites whose answer the reader may not see."""
    return _collection(
        site_feature(site, answers.get(site.pk), url=reverse("permissions:site_detail", args=[site.pk]))
        for site in sites
        if site.boundary
    )


def one_site_on_map(site: Site, no_go: Iterable[NoGoArea], answer: Decision | None = None) -> dict[str, Any]:
    """One site with its no-go ground and the way in."""
    features = [site_feature(site, answer)] if site.boundary else []
    features += [
        _feature(
            area.geometry, kind="no-go", label=_("No-go: %(area_reason)s") % {"area_reason": area.reason}
        )
        for area in no_go
    ]
    return _collection([*features, *_way_in(site)])


def site_feature(site: Site, answer: Decision | None, **properties: Any) -> dict[str, Any]:
    said = {"status": answer.answer.value, "word": WORDS[answer.answer.value]} if answer else {}
    return _feature(site.boundary, kind="site", label=str(site), **said, **properties)


NEIGHBOURS = 200


def drawing_board(user: User, *, but: Site | None = None, around: Site | None = None) -> dict[str, Any]:
    """What lies under a drawing: neighbouring boundaries to snap to, or the one site drawn within."""
    if around is not None:
        return {"features": one_site_on_map(around, around.no_go.all()), "background": background()}
    others = Site.objects.visible_to(user).current()
    if but is None:
        return {"features": sites_on_map(others[:NEIGHBOURS], {}), "background": background()}
    found = sites_on_map(others.exclude(pk=but.pk)[:NEIGHBOURS], {})
    found["features"] += _way_in(but, here=True)  # where a map of a field without a boundary begins
    return {"features": found, "background": background()}


def _way_in(site: Site, **properties: Any) -> list[dict[str, Any]]:
    if site.gate_lon is None or site.gate_lat is None:
        return []
    point = {"type": "Point", "coordinates": [site.gate_lon, site.gate_lat]}
    return [_feature(point, kind="gate", label=_("Way in"), **properties)]


def background() -> dict[str, Any]:
    """The club's own background drawing, or an empty collection."""
    club = Club.objects.filter(pk=1).only("background").first()
    return club.background if club and club.background else _collection([])


def drawn_feature(geometry: Any, label: str) -> dict[str, Any]:
    """A shape that is not saved yet."""
    return _feature(geometry, kind="drawn", label=label)


def drawn_on_map(shapes: Iterable[tuple[Any, str]], sites: Iterable[Site] = ()) -> dict[str, Any]:
    """Shapes that are not saved yet, each with its label, among sites that are."""
    found = [site_feature(site, None) for site in sites if site.boundary]
    return _collection([*found, *(drawn_feature(geometry, label) for geometry, label in shapes)])


def points_on_map(places: Iterable[tuple[float, float, str]]) -> dict[str, Any]:
    """Places by longitude and latitude, each with its label."""
    return _collection(
        _feature({"type": "Point", "coordinates": [lon, lat]}, kind="place", label=label)
        for lon, lat, label in places
    )


def protected_feature(geometry: Any, label: str) -> dict[str, Any]:
    """A protected place."""
    return _feature(geometry, kind="protected", label=label)


def _feature(geometry: Any, **properties: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _collection(features: Iterable[dict[str, Any]]) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features)}
