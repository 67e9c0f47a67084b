"""The two ways in: boundaries of sites, and layers of protected places."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import shapely

from geo.errors import shown
from geo.files.choices import unknown_crs
from geo.files.crs import System, answered, stated
from geo.files.ground import to_ground
from geo.files.model import (
    BOUNDARY_LIMITS,
    PLACE_LIMITS,
    FileError,
    Layer,
    NamedShape,
    RawShape,
    ReadFile,
    Tally,
    name_from,
)
from geo.files.sniff import read_layers
from geo.files.to_wgs84 import cannot_be_degrees, to_wgs84
from geo.tangle import is_tangled
from tongue import say as _

_BEYOND = "shape beyond"
Shaper = Callable[[RawShape, Tally], shapely.Geometry | None]


def read_boundaries(
    data: bytes, filename: str, *, crs: str | None = None, near: tuple[float, float] | None = None
) -> ReadFile:
    """Every outline in a file, as drawn: Polygon or MultiPolygon in WGS84, to be given to `check_boundary`.

    The format is judged by the content. `crs` is the answer to a `CrsUnknownError` ("EPSG:27700", "British
    National Grid", "UTM 31N") and wins over what the file says; `near` (longitude, latitude) puts that error's
    choices near the club first. Accuracy: 1 mm beside the transformation's own, which `geo.transform` states.
    Raises CrsUnknownError if the system must be asked, FileError for a file that cannot be read or holds no
    outline. Sources: RFC 7946; OGC 07-147r2 (KML 2.2); GPX 1.1; ESRI Shapefile Technical Description (1998);
    OGC 06-103r4 (WKT).
    """
    tally = Tally(BOUNDARY_LIMITS)
    read = _read(data, filename, crs, near, tally, to_ground)
    if not read.shapes:
        raise FileError(
            " ".join(
                [
                    _("“%(filename)s” holds no outline of any ground.") % {"filename": shown(filename)},
                    *read.notes,
                ]
            ),
            value=filename,
            remedy=_("give a file with at least one closed outline of three corners or more"),
        )
    return read


def read_places(
    data: bytes,
    filename: str,
    *,
    crs: str | None = None,
    near: tuple[float, float] | None = None,
    name_field: str | None = None,
    within: tuple[float, float, float, float] | None = None,
) -> ReadFile:
    """The shapes of a layer of protected places, mended and with the source's attributes: polygons, lines and
    points in WGS84.

    `name_field` says which attribute is the name; `within` (west, south, east, north in degrees) keeps only
    shapes that touch that box. Otherwise as `read_boundaries`, with wider limits.
    """
    tally = Tally(PLACE_LIMITS)
    box = shapely.box(*within) if within else None

    def shaper(raw: RawShape, tally: Tally) -> shapely.Geometry | None:
        return _place(raw.shape, box, tally)

    read = _read(data, filename, crs, near, tally, shaper)
    if not read.shapes and not (box and tally.counts.get(_BEYOND)):
        raise FileError(
            " ".join([_("“%(filename)s” holds no place.") % {"filename": shown(filename)}, *read.notes]),
            value=filename,
            remedy=_("give a file with at least one shape"),
        )
    if not name_field:
        return read
    named = [replace(s, name=name_from(s.properties, n, name_field)) for n, s in enumerate(read.shapes, 1)]
    return replace(read, shapes=tuple(named))


def _read(
    data: bytes,
    filename: str,
    crs: str | None,
    near: tuple[float, float] | None,
    tally: Tally,
    shaper: Shaper,
) -> ReadFile:
    asked = answered(crs) if crs and crs.strip() else None
    layers = read_layers(data, filename, tally)
    shapes: list[NamedShape] = []
    systems: list[str] = []
    known = True
    for layer in layers:
        if not layer.shapes:
            continue
        system, says_so = _system_of(layer, asked, near, tally)
        known = known and says_so
        systems.append(str(system))
        shapes += _moved(layer, system, tally, shaper)
    notes = (*tally.notes, *tally.left_out())
    said = ", ".join(dict.fromkeys(systems))
    return ReadFile(layers[0].format, said, known, tuple(shapes), notes)


def _system_of(
    layer: Layer, asked: System | None, near: tuple[float, float] | None, tally: Tally
) -> tuple[System, bool]:
    """The layer's system, and whether the file itself says so. Numbers that cannot be degrees disprove it."""
    says = stated(layer.crs) if layer.crs else None
    if asked is not None:
        if says is not None and asked.code != says.code and not _same_degrees(asked, says):
            tally.note(
                _("The file says %(says)s; it was read as %(asked)s, as you answered.")
                % {"says": says, "asked": asked}
            )
        return asked, says is not None and asked.code == says.code
    coordinates = shapely.get_coordinates([raw.shape for raw in layer.shapes])
    x, y = coordinates[:, 0], coordinates[:, 1]
    if not len(x):
        return says or answered("WGS84"), True
    if says is None:
        raise unknown_crs(x, y, _title(layer.crs), near)
    if says.definition.is_geographic and cannot_be_degrees(x, y):
        raise unknown_crs(x, y, None, near)
    return says, True


def _title(said: str | None) -> str | None:
    """A .prj file's name for its system: the first thing in quotes."""
    return said.split('"')[1] if said and said.count('"') > 1 else said


def _same_degrees(one: System, other: System) -> bool:
    return one.label == other.label


def _moved(layer: Layer, system: System, tally: Tally, shaper: Shaper) -> list[NamedShape]:
    """The layer's shapes in WGS84. Each is let go once used, so that a large layer is not held twice."""
    moved = to_wgs84([raw.shape for raw in layer.shapes], system, tally.note)
    shapes = []
    for raw, shape in zip(layer.shapes, moved, strict=True):
        kept = shaper(replace(raw, shape=shape), tally)
        if kept is not None:
            shapes.append(NamedShape(raw.name, _mapping(kept), raw.properties))
    return shapes


def _mapping(shape: shapely.Geometry) -> dict[str, Any]:
    """GeoJSON with lists, as the rest of the house keeps it."""
    kind = shape.geom_type
    if kind == "GeometryCollection":
        return {"type": kind, "geometries": [_mapping(part) for part in shapely.get_parts(shape)]}
    if kind.startswith("Multi"):
        return {"type": kind, "coordinates": [_coordinates(part) for part in shapely.get_parts(shape)]}
    return {"type": "LineString" if kind == "LinearRing" else kind, "coordinates": _coordinates(shape)}


def _coordinates(shape: shapely.Geometry) -> list[Any]:
    if shape.geom_type == "Polygon":
        return [shapely.get_coordinates(ring).tolist() for ring in shapely.get_rings(shape)]
    positions: list[Any] = shapely.get_coordinates(shape).tolist()
    return positions[0] if shape.geom_type == "Point" else positions


def _place(shape: shapely.Geometry, box: shapely.Geometry | None, tally: Tally) -> shapely.Geometry | None:
    if shape.is_empty:
        tally.count("empty shape")
        return None
    if not shape.is_valid:
        if is_tangled(shape):
            tally.count("tangled outline")
            return None
        shape = shapely.make_valid(shape, method="structure", keep_collapsed=False)
        tally.mended += 1
    if box is not None and not shapely.intersects(box, shape):
        tally.count(_BEYOND)
        return None
    return shape
