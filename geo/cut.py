"""A site cut in two along a line, or several made one, with what happened to the crumbs said in words.

Cutting is done in the plane of longitude and latitude, in which boundaries are kept and drawn: so the old corners
stay where they are, and both sides of the cut share the same new ones. Widths and distances are measured in metres.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely

from geo.errors import BoundaryError, shown
from geo.geojson import to_geojson
from geo.local import Local
from geo.measure import Shape, area_m2, hectares, to_shape
from geo.polygon import CheckedBoundary, check_boundary
from geo.tangle import is_tangled
from tongue import figure, noop, say_many
from tongue import say as _

SLIVER_WIDTH_M = 1.0
SMALLEST_M2 = 4.0
MOST_LINE_POINTS = 2_000
REACH_M = 5.0
"""A line that stops this close to the edge is carried on to it (house rule)."""
_LINES = ("LineString", "MultiLineString")
_WORDS = (
    "0",
    noop("one"),
    noop("two"),
    noop("three"),
    noop("four"),
    noop("five"),
    noop("six"),
    noop("seven"),
    noop("eight"),
    noop("nine"),
    noop("ten"),
)


@dataclass(frozen=True)
class Split:
    """The parts, largest first, and sentences about what was dropped, mended or lengthened."""

    parts: tuple[CheckedBoundary, ...]
    notes: tuple[str, ...]


def split(boundary: Shape, line: Shape) -> Split:
    """The ground cut along a line, both GeoJSON or shapes in lon/lat; a block that the line misses is a part
    by itself.

    Parts under 1 m wide or 4 m² are dropped and said. Raises BoundaryError if the line is none, misses the
    ground, or ends inside it more than 5 m from the edge.
    """
    whole = _checked(boundary)
    ground, notes = to_shape(whole.geometry), list(whole.notes)
    pieces = _pieces(ground, _carried_on(_line(line), ground, notes))
    if len(pieces) <= len(shapely.get_parts(ground)):
        raise _uncut(ground, to_shape(line))
    kept = _without_slivers(pieces, ground, notes)
    if len(kept) < 2:
        raise BoundaryError(
            _("The line cuts off no more than a sliver"),
            value=shown(str(line)),
            remedy=_("draw it farther in"),
        )
    parts = sorted((check_boundary(to_geojson(piece)) for piece in kept), key=lambda p: -p.area_m2)
    return Split(tuple(parts), tuple(notes))


def merge(boundaries: Iterable[Shape]) -> CheckedBoundary:
    """One boundary of all the ground in two or more, in lon/lat; ground in two of them counts once.

    Gaps under 1 m wide that the union closes in are filled and said; blocks apart stay apart and are said.
    Raises BoundaryError for fewer than two.
    """
    checked = [_checked(boundary) for boundary in boundaries]
    if len(checked) < 2:
        raise BoundaryError(
            _("%(checked)s boundary was given") % {"checked": len(checked)}
            if checked
            else _("No boundary was given"),
            value=len(checked),
            remedy=_("choose at least two to merge"),
        )
    notes = list(dict.fromkeys(note for one in checked for note in one.notes))
    shapes = [to_shape(one.geometry) for one in checked]
    union = _filled(shapely.union_all(shapes), shapes, notes)
    shared = sum(one.area_m2 for one in checked) - area_m2(shapely.union_all(shapes))
    if shared >= SMALLEST_M2:
        notes.append(_("The boundaries overlap by %(shared)s, counted once.") % {"shared": _size(shared)})
    merged = check_boundary(to_geojson(union))
    if (blocks := len(merged.geometry["coordinates"])) > 1:
        notes.append(_("The ground is in %(blocks)s blocks that do not touch.") % {"blocks": _word(blocks)})
    return replace(merged, notes=(*notes, *merged.notes))


def _checked(boundary: Shape) -> CheckedBoundary:
    """A shape is what is stored or drawn; check_boundary takes GeoJSON, so shapes are written out first."""
    given = to_geojson(boundary) if isinstance(boundary, shapely.Geometry) else boundary
    return check_boundary(given)


def _line(line: Shape) -> shapely.Geometry:
    shape = to_shape(line)
    if shape.geom_type not in _LINES or not shape.length > 0:
        raise BoundaryError(
            _("A %(geom_type)s is no line to cut along") % {"geom_type": shape.geom_type},
            value=shape.geom_type,
            remedy=_("draw a line right across"),
        )
    if not (abs(shapely.get_coordinates(shape)) <= (180, 90)).all():
        raise BoundaryError(
            _("The line is not in degrees"), value=shape.wkt[:60], remedy=_("draw it on the map again")
        )
    count = shapely.get_num_coordinates(shape)
    if count > MOST_LINE_POINTS or is_tangled(shape):
        raise BoundaryError(
            _("The line of %(count)s points is too tangled to cut along") % {"count": figure(f"{count:,}")},
            value=count,
            remedy=_("draw it across with a few points"),
        )
    return shape


def _carried_on(line: shapely.Geometry, ground: shapely.Geometry, notes: list[str]) -> shapely.Geometry:
    """The line with each end that stops just inside the ground carried straight on over the edge."""
    local = Local.around(ground)
    flat = local.to_metres(ground)
    carried = [_reach(part, flat, local) for part in shapely.get_parts(line)]
    if any(is_longer for _part, is_longer in carried):
        notes.append(_("The line stopped just short of the edge and was carried on to it."))
    return shapely.union_all([part for part, _longer in carried])


def _reach(line: shapely.LineString, flat: shapely.Geometry, local: Local) -> tuple[shapely.LineString, bool]:
    """One line with a point added before or after it where needed, and whether it was."""
    line = shapely.remove_repeated_points(line)
    points, edge = shapely.get_coordinates(local.to_metres(line)), shapely.boundary(flat)
    longer = list(shapely.get_coordinates(line))
    for here, place, before in ((len(longer), -1, -2), (0, 0, 1)):
        tip = shapely.Point(points[place])
        if shapely.contains(flat, tip) and shapely.distance(edge, tip) <= REACH_M:
            step = points[place] - points[before]
            far = points[place] + step * (2 * REACH_M / float((step**2).sum() ** 0.5))
            longer.insert(here, np.array([float(v) for v in local.inverse(*far)]))
    return shapely.LineString(longer), len(longer) > len(points)


def _pieces(ground: shapely.Geometry, line: shapely.Geometry) -> list[shapely.Polygon]:
    network = shapely.union_all([shapely.boundary(ground), line])
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(network)))
    inside = shapely.contains(ground, shapely.point_on_surface(faces))
    return list(faces[inside])


def _uncut(ground: shapely.Geometry, line: shapely.Geometry) -> BoundaryError:
    if shapely.intersects(ground, line):
        return BoundaryError(
            _("The line does not cut the ground in two"),
            value=line.wkt[:60],
            remedy=_("draw it right across, from edge to edge"),
        )
    return BoundaryError(
        _("The line does not meet the boundary"), value=line.wkt[:60], remedy=_("draw it across the ground")
    )


def _is_sliver(polygon: shapely.Polygon, local: Local) -> bool:
    flat = local.to_metres(polygon)
    return bool(flat.area < SMALLEST_M2 or flat.buffer(-SLIVER_WIDTH_M / 2).is_empty)


def _without_slivers(
    pieces: list[shapely.Polygon], ground: shapely.Geometry, notes: list[str]
) -> list[shapely.Polygon]:
    local = Local.around(ground)
    slivers = [piece for piece in pieces if _is_sliver(piece, local)]
    if slivers:
        words = say_many(
            "%(count)s sliver dropped, %(size)s.", "%(count)s slivers dropped, %(size)s.", len(slivers)
        )
        notes.append(_said(slivers, words))
    return [piece for piece in pieces if not any(piece is sliver for sliver in slivers)]


def _filled(union: shapely.Geometry, shapes: list[shapely.Geometry], notes: list[str]) -> shapely.Geometry:
    """The union without the slivers that it encloses. Holes that were drawn stay, however narrow."""
    local = Local.around(union)
    drawn = shapely.union_all([shapely.Polygon(r) for s in shapes for r in _holes(s)])
    closed = [shapely.Polygon(ring) for ring in _holes(union)]
    slivers = [h for h in closed if _is_sliver(h, local) and not _mostly_in(h, drawn)]
    if not slivers:
        return union
    words = say_many(
        "%(count)s sliver between them filled, %(size)s.",
        "%(count)s slivers between them filled, %(size)s.",
        len(slivers),
    )
    notes.append(_said(slivers, words))
    return shapely.union_all([union, *slivers])


def _holes(shape: shapely.Geometry) -> list[shapely.LinearRing]:
    return [ring for part in shapely.get_parts(shape) for ring in part.interiors]


def _mostly_in(hole: shapely.Polygon, drawn: shapely.Geometry) -> bool:
    return bool(shapely.intersection(hole, drawn).area > hole.area / 2)


def _said(slivers: list[shapely.Polygon], words: str) -> str:
    area = sum(area_m2(sliver) for sliver in slivers)
    return words % {"count": _word(len(slivers)).capitalize(), "size": _size(area)}


def _size(square_m: float) -> str:
    """Hectares to two places, or square metres where that would be nothing."""
    return (
        _("%(hectares)s ha") % {"hectares": figure(f"{hectares(square_m):.2f}")}
        if square_m >= 50
        else f"{figure(f'{square_m:.1f}')} m²"
    )


def _word(count: int) -> str:
    return _(_WORDS[count]) if count < len(_WORDS) else str(count)
