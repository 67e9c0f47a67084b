"""From any system's numbers to WGS84 degrees, the datum shift chosen here and its area looked at first."""

import warnings
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from pyproj import CRS, Transformer
from pyproj.aoi import AreaOfInterest
from pyproj.transformer import TransformerGroup

from geo.areas import is_british_side, is_irish_side
from geo.errors import shown
from geo.files.crs import AIRY_DEGREES, DEGREES, IRISH_GRID, NATIONAL_GRID, System
from geo.files.model import FileError
from geo.irish import from_irish
from geo.local import Floats
from geo.ostn import from_osgb36
from geo.transform import HELMERT_ACCURACY_M, national_grid_place
from tongue import figure
from tongue import say as _

_MARGIN_DEG = 0.5
_ROUGH_M = 2.0
_ROUND = 8
"""Decimals of a degree: 1 mm, so that files do not grow by noise."""
Note = Callable[[str], None]
Both = tuple[Floats, Floats]


def to_wgs84(shapes: list[shapely.Geometry], system: System, note: Note) -> list[shapely.Geometry]:
    """The shapes in WGS84 longitude and latitude. All points are moved in one go.

    Raises FileError for numbers that the system cannot have, with the first of them.
    """
    array = np.array(shapes, dtype=object)
    coordinates = shapely.get_coordinates(array)
    if not len(coordinates):
        return shapes
    x, y = np.ascontiguousarray(coordinates[:, 0]), np.ascontiguousarray(coordinates[:, 1])
    lon, lat = points_to_wgs84(x, y, system, note)
    moved = np.round(np.column_stack([lon, lat]), _ROUND) + 0.0
    return list(shapely.set_coordinates(array, moved))


def points_to_wgs84(x: Floats, y: Floats, system: System, note: Note) -> Both:
    """As `to_wgs84`, for two equal arrays of coordinates (easting or longitude first)."""
    if system.code in DEGREES:
        return _degrees(x, y)
    if system.code in NATIONAL_GRID:
        return _national_grid(x, y, note)
    if system.code == AIRY_DEGREES:
        _degrees(x, y)
        grid = Transformer.from_crs(AIRY_DEGREES, "EPSG:27700", always_xy=True)
        return _national_grid(*_pair(grid.transform(x, y)), note)
    if system.code in IRISH_GRID:
        return _irish_grid(x, y)
    return _by_proj(x, y, system, note)


def _pair(given: tuple[Any, ...]) -> Both:
    return np.asarray(given[0], dtype=float), np.asarray(given[1], dtype=float)


def cannot_be_degrees(x: Floats, y: Floats) -> bool:
    """True if some pair is no longitude and latitude, in either order."""
    return bool(((np.abs(x) > 180) | (np.abs(y) > 180) | ((np.abs(x) > 90) & (np.abs(y) > 90))).any())


def _degrees(x: Floats, y: Floats) -> Both:
    wrong = (np.abs(x) > 180) | (np.abs(y) > 90)
    if not wrong.any():
        return x, y
    i = int(np.flatnonzero(wrong)[0])
    if not cannot_be_degrees(x, y):
        raise FileError(
            _("%(x)s, %(y)s looks like latitude before longitude") % {"x": f"{x[i]:g}", "y": f"{y[i]:g}"},
            value=(float(x[i]), float(y[i])),
            remedy=_("export it with longitude first"),
        )
    raise FileError(
        _("%(x)s, %(y)s cannot be degrees") % {"x": f"{x[i]:.10g}", "y": f"{y[i]:.10g}"},
        value=(float(x[i]), float(y[i])),
        remedy=_("say which coordinate system the numbers are in"),
    )


def _outside(x: Floats, y: Floats, where: np.ndarray[Any, Any], label: str) -> FileError:
    i = int(np.flatnonzero(where)[0])
    return FileError(
        _("%(x)s, %(y)s is not where %(label)s holds")
        % {"x": f"{x[i]:.10g}", "y": f"{y[i]:.10g}", "label": shown(label)},
        value=(float(x[i]), float(y[i])),
        remedy=_("choose another coordinate system, or check the file"),
    )


def _national_grid(x: Floats, y: Floats, note: Note) -> Both:
    frame = (x >= 0) & (x < 700_000) & (y >= 0) & (y < 1_300_000)
    if not frame.all():
        raise _outside(x, y, ~frame, "British National Grid")
    lon, lat = from_osgb36(x, y)
    missing = np.flatnonzero(np.isnan(lon))
    if len(missing):
        note(
            _("Part lies beyond OSTN15 and is good to %(helmert_accuracy_m)s m only.")
            % {"helmert_accuracy_m": figure(f"{HELMERT_ACCURACY_M:g}")}
        )
        places = [national_grid_place(float(x[i]), float(y[i])) for i in missing]
        lon[missing], lat[missing] = [p.lon for p in places], [p.lat for p in places]
    _check_side(x, y, lon, lat, is_british_side, "British National Grid")
    return lon, lat


def _irish_grid(x: Floats, y: Floats) -> Both:
    frame = (x >= 0) & (x < 500_000) & (y >= 0) & (y < 500_000)
    if not frame.all():
        raise _outside(x, y, ~frame, "the Irish Grid")
    lon, lat = from_irish(x, y)
    _check_side(x, y, lon, lat, is_irish_side, "the Irish Grid")
    return lon, lat


def _check_side(
    x: Floats, y: Floats, lon: Floats, lat: Floats, holds: Callable[[float, float], bool], label: str
) -> None:
    """Judged by the middle of the whole: a layer may reach over an edge, a field does not."""
    middle = (float((lon.min() + lon.max()) / 2), float((lat.min() + lat.max()) / 2))
    if not holds(*middle):
        raise _outside(x, y, np.ones(len(x), dtype=bool), label)


def _by_proj(x: Floats, y: Floats, system: System, note: Note) -> Both:
    """By PROJ, which would silently answer outside its area: so the place is found first without a shift of
    datum, held against the system's area of use, and one operation with a known accuracy is taken.
    """
    crs = system.definition
    near = _pair(Transformer.from_crs(crs, crs.geodetic_crs, always_xy=True).transform(x, y))
    lost = ~(np.isfinite(near[0]) & np.isfinite(near[1])) | (np.abs(near[1]) > 90)
    if lost.any() or _beyond_area(crs, *near).any():
        raise _outside(x, y, lost | _beyond_area(crs, *near), str(system))
    transformer = _transformer(crs, near)
    if transformer is None or transformer.accuracy < 0:
        raise FileError(
            _("There is no transformation of known accuracy from %(str)s to WGS84")
            % {"str": shown(str(system))},
            value=system.code or system.label,
            remedy=_("export the file in WGS84 (EPSG:4326)"),
        )
    if transformer.accuracy > _ROUGH_M:
        note(
            _("%(label)s is good to about %(accuracy)s m only on its way to WGS84.")
            % {"label": system.label, "accuracy": figure(f"{transformer.accuracy:g}")}
        )
    return _degrees(*_pair(transformer.transform(x, y)))


def _beyond_area(crs: CRS, lon: Floats, lat: Floats) -> np.ndarray[Any, Any]:
    use = crs.area_of_use
    if use is None:
        return np.abs(lon) > 180
    beyond_lat = (lat < use.south - _MARGIN_DEG) | (lat > use.north + _MARGIN_DEG)
    if use.west > use.east:
        return np.asarray(beyond_lat | ((lon < use.west - _MARGIN_DEG) & (lon > use.east + _MARGIN_DEG)))
    beyond_lon = (lon < use.west - _MARGIN_DEG) | (lon > use.east + _MARGIN_DEG)
    return np.asarray(beyond_lat | beyond_lon)


def _transformer(crs: CRS, near: Both) -> Transformer | None:
    lon, lat = near
    area: Any = AreaOfInterest(float(lon.min()), float(lat.min()), float(lon.max()), float(lat.max()))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # "best is not available": its accuracy is asked instead
        group = TransformerGroup(
            crs, "EPSG:4326", always_xy=True, area_of_interest=area, allow_ballpark=False
        )
    return group.transformers[0] if group.transformers else None
