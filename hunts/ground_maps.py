"""Lanes, walks, ground covered and gaps as GeoJSON for the map, beside boundaries and no-go ground."""

from collections.abc import Iterable, Sequence
from typing import Any

import shapely
from django.utils.translation import gettext as _
from shapely.geometry import mapping

from geo.cover_shape import rough_outline
from geo.gaps import Gap
from geo.grid import Bits, Grid
from geo.lanes import LanePlan, Share
from hunts.ground import SiteGround
from hunts.models import Track


def collection(features: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """A FeatureCollection (RFC 7946)."""
    return {"type": "FeatureCollection", "features": list(features)}


def _feature(geometry: Any, kind: str, label: str, **more: Any) -> dict[str, Any]:
    shape = geometry if isinstance(geometry, dict) else dict(mapping(geometry))
    return {"type": "Feature", "geometry": shape, "properties": {"kind": kind, "label": label, **more}}


def site_features(ground: SiteGround) -> list[dict[str, Any]]:
    """The boundary, no-go ground with its margins, and the way in."""
    site = ground.site
    features = [_feature(ground.boundary, "site", str(site))]
    features += [_feature(area, "no-go", _("No-go area")) for area in ground.no_go]
    if site.gate_lon is not None and site.gate_lat is not None:
        gate = {"type": "Point", "coordinates": [site.gate_lon, site.gate_lat]}
        features.append(_feature(gate, "gate", _("Way in, %(site_code)s") % {"site_code": site.code}))
    return features


def lane_features(plan: LanePlan, own: Share | None) -> list[dict[str, Any]]:
    """Every lane with its number; the reader's own say so."""
    mine = {lane.label for lane in own.lanes} if own else set()
    return [
        _feature(
            {"type": "LineString", "coordinates": [list(place) for place in lane.coordinates]},
            "lane",
            _("Lane %(lane_label)s") % {"lane_label": lane.label},
            **({"word": _("yours")} if lane.label in mine else {}),
        )
        for lane in plan.lanes
    ]


def covered_features(
    ground: SiteGround, grid: Grid, covered: Bits, gaps: Sequence[Gap]
) -> list[dict[str, Any]]:
    """Covered ground as one shape, and each gap with its number, cut at the boundary."""
    features, code = [], ground.site.code
    if covered.any():
        features.append(
            _feature(rough_outline(grid, covered), "covered", _("Ground covered, %(code)s") % {"code": code})
        )
    for number, gap in enumerate(gaps, 1):
        features.append(
            _feature(
                _within(gap.outline, ground.boundary),
                "gap",
                _("Gap %(code)s %(number)s") % {"code": code, "number": number},
            )
        )
    return features


def _within(outline: Any, boundary: Any) -> Any:
    """Blocks of 5 m reach over the hedge; the map shows what lies inside it."""
    parts = shapely.get_parts(shapely.intersection(outline, boundary))
    return shapely.MultiPolygon([part for part in parts if part.geom_type == "Polygon"])


def walk_features(tracks: Iterable[Track]) -> list[dict[str, Any]]:
    """The thinned line of each track; the caller has asked which the reader may see."""
    return [
        _feature(track.line, "walk", _("Track of %(user_name)s") % {"user_name": track.user.name})
        for track in tracks
    ]
