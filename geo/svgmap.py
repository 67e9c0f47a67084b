"""A printed map of one site as SVG text: no styles, scripts or links, legible in grey, with key and scale."""

import shapely

from geo import svgmarks
from geo.errors import GeoError
from geo.svgframe import INK, PAPER, Frame, plain, tag
from geo.svgfurniture import graticule, north_arrow, scale_bar
from geo.svgkey import key
from geo.svglayers import Grid, Ground, GroundShape, HoleMark, Layers, Mark, Shape
from geo.transform import national_grid_place, to_national_grid

__all__ = [
    "NATIONAL_GRID",
    "Grid",
    "Ground",
    "GroundShape",
    "HoleMark",
    "Layers",
    "Mark",
    "Shape",
    "svg_map",
]

_UNITS_ACROSS = 700.0
_STRIP = 58.0
_LEAST_PX = 200


def _forward(lon: float, lat: float) -> tuple[float, float]:
    point = to_national_grid(lon, lat)
    return point.easting, point.northing


def _inverse(easting: float, northing: float) -> tuple[float, float]:
    place = national_grid_place(easting, northing)
    return place.lon, place.lat


NATIONAL_GRID = Grid(_forward, _inverse, "British National Grid")


def svg_map(layers: Layers, *, width_px: int = 1000, height_px: int = 760, title: str) -> str:
    """An SVG of the site, north up, the boundaries (or all that is drawn) filling the frame, a strip with the
    north arrow, scale bar and key below.

    The scale is true to one part in ten million within 5 km of the middle. Grid lines are ruled when
    `layers.grid` is given. `title` is what a screen reader says. A label that would cover another stays out.
    Raises GeoError when nothing is to be drawn or the paper is under 200 px either way.
    """
    extent = _checked(layers.extent(), width_px, height_px)
    unit = width_px / _UNITS_ACROSS
    strip = _STRIP * unit
    frame = Frame.around(extent, float(width_px), height_px - strip, unit)
    size = {"width": width_px, "height": height_px}
    return tag(
        "svg",
        tag("title", plain(title), id="map-title")
        + tag("defs", svgmarks.patterns(unit) + _clip(frame))
        + tag("rect", **size, fill=PAPER)
        + tag("g", _inside(frame, layers), clip_path="url(#frame)")
        + _edge(frame)
        + _below(frame, layers),
        xmlns="http://www.w3.org/2000/svg",
        **size,
        viewBox=f"0 0 {width_px} {height_px}",
        role="img",
        aria_labelledby="map-title",
        font_family="system-ui, 'Libertinus Serif', sans-serif",
    )


def _checked(extent: shapely.Geometry, width_px: int, height_px: int) -> shapely.Geometry:
    if min(width_px, height_px) < _LEAST_PX:
        raise GeoError(
            f"A map of {width_px} × {height_px} px is too small to read",
            value=(width_px, height_px),
            remedy=f"give at least {_LEAST_PX} px each way",
        )
    if extent.is_empty:
        raise GeoError(
            "The map has nothing on it", value=None, remedy="give a boundary or at least one point"
        )
    return extent


def _inside(frame: Frame, layers: Layers) -> str:
    """Everything within the frame, the ground first and the finds last; labels go on top of all shapes."""
    u, path = frame.unit, frame.path
    drawn = [svgmarks.ground(path(shape.geometry), shape.kind, u) for shape in layers.ground]
    drawn += [svgmarks.area(path(shape.geometry), "url(#covered)", 0, u) for shape in layers.covered]
    if layers.grid:
        drawn.append(graticule(frame, layers.grid))
    drawn += [svgmarks.lane(path(shape.geometry), u) for shape in layers.lanes]
    drawn += [svgmarks.area(path(shape.geometry), "url(#no-go)", 1.2, u) for shape in layers.no_go]
    drawn += [svgmarks.area(path(shape.geometry), "none", 2.0, u) for shape in layers.boundaries]
    drawn += [svgmarks.square(path(shape.geometry), u) for shape in layers.squares]
    if layers.gate:
        x, y = frame.at(layers.gate.lon, layers.gate.lat)
        frame.hold(x, y, 6)
        drawn.append(svgmarks.gate(x, y, u) + frame.label(x, y, layers.gate.label, reach=9))
    drawn.append(svgmarks.points(frame, layers.holes, layers.finds))
    drawn += [_area_label(frame, shape, 9) for shape in layers.no_go]
    drawn += [_area_label(frame, shape, 11) for shape in (*layers.boundaries, *layers.squares)]
    drawn += [_area_label(frame, shape, 8) for shape in layers.ground]
    drawn += [_lane_label(frame, shape) for shape in layers.lanes]
    return "".join(drawn)


def _area_label(frame: Frame, shape: Shape | GroundShape, size: float) -> str:
    """The name on the first free spot of the area, its middle before all others."""
    if not shape.label or shape.geometry.is_empty:
        return ""
    west, south, east, north = shape.geometry.bounds
    spots = [shape.geometry.representative_point()] + [
        shapely.Point(west + (east - west) * i / 8, south + (north - south) * j / 8)
        for j in (6, 2, 5, 3, 4, 7, 1)
        for i in (4, 3, 5, 2, 6)
    ]
    inside = (spot for spot in spots if shape.geometry.intersects(spot))
    tries = (frame.label(*frame.at(spot.x, spot.y), shape.label, reach=2, size=size) for spot in inside)
    return next(filter(None, tries), "")


def _lane_label(frame: Frame, shape: Shape) -> str:
    if not shape.label or shape.geometry.is_empty:
        return ""
    lon, lat = shapely.get_coordinates(shape.geometry)[0].tolist()
    return frame.label(*frame.at(lon, lat), shape.label, reach=3, size=8)


def _clip(frame: Frame) -> str:
    return tag("clipPath", tag("rect", width=frame.width_px, height=frame.height_px), id="frame")


def _edge(frame: Frame) -> str:
    w = frame.unit
    return tag(
        "rect", x=w / 2, y=w / 2, width=frame.width_px - w, height=frame.height_px - w,
        fill="none", stroke=INK, stroke_width=w,
    )  # fmt: skip


def _below(frame: Frame, layers: Layers) -> str:
    """The strip: north arrow, scale bar and the name of the grid to the left, the key to the right."""
    u, top = frame.unit, frame.height_px
    left = north_arrow(frame, 14 * u, top + 34 * u) + scale_bar(frame, 38 * u, top + 22 * u)
    if layers.grid:
        left += frame.text(38 * u, top + 46 * u, f"Grid: {layers.grid.name}", size=8)
    return left + key(frame, layers, 235 * u, top + 14 * u, frame.width_px - 235 * u)
