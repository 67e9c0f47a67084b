"""The map layers of a hunt as GeoJSON: boundaries of the day, no-go ground with its margin, and holes."""

from collections.abc import Iterable
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from geo.measure import buffered
from hunts.models import Hole, Hunt
from hunts.points import point_of
from hunts.states import HoleState
from people.models import User
from people.sensitivity import ShownPoint


def _feature(geometry: dict[str, Any], kind: str, label: str, **more: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, "label": label, **more}}


def _collection(features: list[dict[str, Any]]) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": features}


def ground(hunt: Hunt) -> dict[str, Any]:
    """The sites as they were bounded on the day, their no-go areas and their gates (RFC 7946)."""
    return _collection(_ground(hunt))


def with_holes(hunt: Hunt, rows: Iterable[Hole], user: User) -> dict[str, Any]:
    """The ground and the holes on it, as finely as `user` may see them.

    Locked holes are left out: their place is read on their own page, where that is recorded.
    """
    shown = ((hole, point_of(hole, user)) for hole in rows if not hole.locked)
    return _collection([*_ground(hunt), *(_hole(hole, point) for hole, point in shown if point is not None)])


def _ground(hunt: Hunt) -> list[dict[str, Any]]:
    features = []
    for row in hunt.hunt_sites.select_related("site", "boundary").prefetch_related("site__no_go"):
        site = row.site
        features.append(_feature(row.boundary.geometry, "site", str(site)))
        for area in site.no_go.all():
            shape = buffered(area.geometry, area.buffer_m) if area.buffer_m else area.geometry
            features.append(
                _feature(shape, "no-go", _("No-go: %(area_reason)s") % {"area_reason": area.reason})
            )
        if site.gate_lon is not None and site.gate_lat is not None:
            gate = {"type": "Point", "coordinates": [site.gate_lon, site.gate_lat]}
            features.append(_feature(gate, "gate", _("Way in, %(site_code)s") % {"site_code": site.code}))
    return features


def _hole(hole: Hole, point: ShownPoint) -> dict[str, Any]:
    if point.ring:
        square = {"type": "Polygon", "coordinates": [[list(pair) for pair in point.ring]]}
        return _feature(square, "square", point.label)
    spot = {"type": "Point", "coordinates": [point.lon, point.lat]}
    more = {"url": reverse("hunts:hole_detail", args=[hole.pk]), "word": hole.state}
    status = "dug" if hole.state == HoleState.DUG else "done"
    return _feature(
        spot,
        "hole",
        _("Hole %(hole_number)s") % {"hole_number": hole.number},
        status=status,
        accuracy_m=point.accuracy_m,
        **more,
    )
