"""Checks a boundary before it is kept: mends and says what is plain, refuses what must be asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from geo.areas import Country
from geo.errors import BoundaryError
from geo.geojson import DECIMALS, Ring, parse_geojson, rings_of, to_geojson, to_ring
from geo.local import Local
from geo.measure import (
    acres,
    area_m2,
    area_perimeter,
    buffered,
    difference,
    hectares,
    overlap,
    overlap_m2,
    to_shape,
)
from geo.position import parse_positions
from geo.tangle import is_tangled
from tongue import figure, noop
from tongue import say as _

__all__ = [
    "CheckedBoundary",
    "acres",
    "area_m2",
    "boundary_from_references",
    "buffered",
    "check_boundary",
    "difference",
    "hectares",
    "overlap",
    "overlap_m2",
    "to_shape",
]

MAX_KEPT_VERTICES = 10_000
_SIMPLIFY_ABOVE = 1_000
_SIMPLIFY_M = 0.25
_SMALLEST_PART_M2 = 4.0
_SMALLEST_PART_SHARE = 0.001
_AREA_MOVED_SHARE = 0.01
_TALLEST_M = 5_000.0
_THIN = 0.05
_HOLE_LEFT_OUT = noop("A hole that lies outside the field was left out.")


@dataclass(frozen=True)
class CheckedBoundary:
    """A boundary fit to keep.

    `geometry` is a valid GeoJSON MultiPolygon (outer rings counter-clockwise, 7 decimals); area and perimeter
    are geodesic; `bounds` is west, south, east, north in degrees; `notes` are sentences for the person who
    gave it.
    """

    geometry: dict[str, Any]
    area_m2: float
    perimeter_m: float
    bounds: tuple[float, float, float, float]
    notes: tuple[str, ...]
    repaired: bool


def check_boundary(
    geojson: Mapping[str, Any] | str | bytes, *, drawn: bool = False, country: Country | None = None
) -> CheckedBoundary:
    """The boundary in GeoJSON (Polygon, MultiPolygon, Feature or collection), mended where the meaning is
    plain.

    `drawn` means drawn by hand just now: a line that crosses itself is then asked about, not mended.
    `country` catches longitude and latitude the wrong way round. Raises BoundaryError naming the value and
    the remedy. Source: RFC 7946, sections 3.1.6, 3.1.9, 4 and 11.2; OGC Simple Features 1.2.1 for validity.
    """
    notes: list[str] = []
    polygons = [
        _polygon([to_ring(ring, country, notes) for ring in rings], notes)
        for rings in rings_of(parse_geojson(geojson), notes)
    ]
    _check_span(polygons)
    raw = polygons[0] if len(polygons) == 1 else shapely.MultiPolygon(polygons)
    if drawn:
        _refuse_crossing(raw)
    mended, repaired = _mend(raw, notes)
    kept = _drop_small(mended, notes)
    kept = _thin_out(kept, notes)
    repaired = (
        repaired
        or _(_HOLE_LEFT_OUT) in notes
        or len(shapely.get_parts(kept)) != len(shapely.get_parts(mended))
    )
    return _checked(kept, notes, repaired)


def _polygon(rings: list[Ring], notes: list[str]) -> shapely.Polygon:
    """The polygon of an outer ring and its holes. A hole beside the field would be mended into land, so it
    goes.
    """
    if len(rings) == 1:
        return shapely.Polygon(rings[0])
    shell = shapely.make_valid(shapely.Polygon(rings[0]))
    holes = [r for r in rings[1:] if shapely.intersects(shapely.make_valid(shapely.Polygon(r)), shell)]
    if len(holes) < len(rings) - 1:
        notes.append(_(_HOLE_LEFT_OUT))
    return shapely.Polygon(rings[0], holes)


def _tangled(shape: shapely.Geometry) -> BoundaryError:
    return BoundaryError(
        _("The outline is too tangled to mend"),
        value=shape.wkt[:60],
        remedy=_("draw it again, or take out the crossings"),
    )


def _check_span(polygons: list[shapely.Polygon]) -> None:
    west, _south, east, _north = shapely.total_bounds(polygons)
    if east - west > 180:
        raise BoundaryError(
            _("The boundary runs from longitude %(west)s to %(east)s, across the 180th meridian")
            % {"west": f"{west:g}", "east": f"{east:g}"},
            value=(float(west), float(east)),
            remedy=_("cut it into one boundary on each side (RFC 7946 section 3.1.9)"),
        )


def _refuse_crossing(shape: shapely.Geometry) -> None:
    _require_area(shapely.convex_hull(shape))  # corners on one line are not a crossing
    reason = shapely.is_valid_reason(shape)
    if "Self-intersection" not in reason or "Ring" in reason:
        return
    lon, lat = (float(v) for v in reason.partition("[")[2].rstrip("]").split()[:2])
    raise BoundaryError(
        _("The line crosses itself at %(lat)s, %(lon)s") % {"lat": f"{lat:.6f}", "lon": f"{lon:.6f}"},
        value=(lon, lat),
        remedy=_("move the points so that it does not, or draw two separate blocks"),
    )


def _mend(raw: shapely.Geometry, notes: list[str]) -> tuple[shapely.Geometry, bool]:
    """A valid shape of the same ground, and whether anything had to change.

    The structure method keeps holes as holes and overlapping loops as land; an even-odd reading would turn
    them over.
    """
    if raw.is_valid:
        return raw, False
    if is_tangled(raw):
        raise _tangled(raw)
    try:
        fixed = shapely.make_valid(raw, method="structure", keep_collapsed=False)
    except shapely.errors.GEOSException as error:
        raise _tangled(raw) from error
    _require_area(fixed)
    before, after = _drawn_area(raw), area_m2(fixed)
    notes.append(_("The line crossed or touched itself and was mended."))
    if before > 0 and abs(after - before) > _AREA_MOVED_SHARE * before:
        moved = _("%(hectares)s ha to %(hectares2)s ha") % {
            "hectares": figure(f"{hectares(before):.2f}"),
            "hectares2": figure(f"{hectares(after):.2f}"),
        }
        notes.append(_("Mending changed the area from %(moved)s: check the outline.") % {"moved": moved})
    return fixed, True


def _drawn_area(raw: shapely.Geometry) -> float:
    """The area as the rings were drawn: each outer ring less its holes, whatever they cross."""
    total = 0.0
    for polygon in shapely.get_parts(raw):
        total += area_m2(shapely.Polygon(polygon.exterior))
        total -= sum(area_m2(shapely.Polygon(ring)) for ring in polygon.interiors)
    return abs(total)


def _require_area(shape: shapely.Geometry) -> None:
    if shape.is_empty or area_m2(shape) < _SMALLEST_PART_M2:
        raise BoundaryError(
            _("The boundary encloses no ground"),
            value=shape.wkt[:60],
            remedy=_("give at least three corners that do not lie on one line"),
        )


def _drop_small(shape: shapely.Geometry, notes: list[str]) -> shapely.Geometry:
    _require_area(shape)
    parts = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"]
    areas = np.array([area_m2(p) for p in parts])
    least = max(_SMALLEST_PART_M2, _SMALLEST_PART_SHARE * float(areas.sum()))
    keep = areas >= least
    if not keep.all():
        count = int((~keep).sum())
        what = _("One part") if count == 1 else _("%(count)s parts") % {"count": count}
        notes.append(
            _("%(what)s of %(sum)s m² in all, too small to be ground, left out.")
            % {"what": what, "sum": figure(f"{areas[~keep].sum():.1f}")}
        )
    return shapely.MultiPolygon([p for p, k in zip(parts, keep, strict=True) if k])


def _thin_out(shape: shapely.Geometry, notes: list[str]) -> shapely.Geometry:
    """Fewer points where there are many: none moves by more than 0.25 m. Raises BoundaryError past 10,000."""
    count = shapely.get_num_coordinates(shape)
    if count <= _SIMPLIFY_ABOVE:
        return shape
    local = Local.around(shape)
    thin = local.to_degrees(local.to_metres(shape).simplify(_SIMPLIFY_M, preserve_topology=True))
    left = shapely.get_num_coordinates(thin)
    if left > MAX_KEPT_VERTICES:
        raise BoundaryError(
            _("The boundary still has %(left)s points after thinning to 0.25 m")
            % {"left": figure(f"{left:,}")},
            value=int(left),
            remedy=_("simplify it to at most %(max_kept_vertices)s points")
            % {"max_kept_vertices": figure(f"{MAX_KEPT_VERTICES:,}")},
        )
    if left < count:
        notes.append(
            _("Thinned from %(count)s to %(left)s points; the line moves by no more than 0.25 m.")
            % {"count": figure(f"{count:,}"), "left": figure(f"{left:,}")}
        )
    return thin


def _checked(shape: shapely.Geometry, notes: list[str], repaired: bool) -> CheckedBoundary:
    geometry = to_geojson(shape)
    final = to_shape(geometry)
    if not final.is_valid:
        # Rounding to 7 decimals made neighbouring edges touch: snap with GEOS, which keeps the result valid.
        geometry = to_geojson(shapely.set_precision(shape, 10.0**-DECIMALS))
        final = to_shape(geometry)
    if not final.is_valid:
        raise _tangled(final)
    area, perimeter = area_perimeter(final)
    west, south, east, north = (float(v) for v in final.bounds)
    if max((north - south) * 111_200, (east - west) * 111_200 * np.cos(np.radians(south))) > _TALLEST_M:
        notes.append(_("The boundary is more than 5 km across: check that it is one site."))
    if 4 * np.pi * area < _THIN * perimeter**2 / max(len(geometry["coordinates"]), 1):
        notes.append(_("The boundary is very narrow for its length: check that it is a whole field."))
    return CheckedBoundary(geometry, area, perimeter, (west, south, east, north), tuple(notes), repaired)


def boundary_from_references(text: str, country: Country | None = None) -> CheckedBoundary:
    """A boundary from its corners in order, one grid reference or latitude and longitude a line.

    Raises PositionError naming the line, or BoundaryError for fewer than three corners or a crossing line.
    """
    corners = parse_positions(text, country=country)
    if len(corners) < 3:
        raise BoundaryError(
            _("%(corners)s corners were given") % {"corners": len(corners)},
            value=len(corners),
            remedy=_("give at least 3, one on each line"),
        )
    ring = [[p.lon, p.lat] for p in corners]
    checked = check_boundary({"type": "Polygon", "coordinates": [[*ring, ring[0]]]}, drawn=True)
    coarsest = max(p.resolution_m for p in corners)
    if coarsest <= 10:
        return checked
    note = _("The corners are given to %(coarsest)s m only, so the area is rough.") % {
        "coarsest": f"{coarsest:.0f}"
    }
    return CheckedBoundary(**{**vars(checked), "notes": (*checked.notes, note)})
