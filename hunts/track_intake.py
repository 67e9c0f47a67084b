"""From the lines of a GPX file to a track fit to keep: one person's walk, cleaned, and the cells it covers.

Costly and free of writes: done before the transaction starts.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from django.utils.translation import gettext as _
from shapely.geometry import mapping

from geo.coverage import draw
from geo.coverage_store import VERSION, pack
from geo.errors import GeoError
from geo.gpx import Gpx, Line
from geo.gridref import describe_position
from geo.local import Local
from geo.track import CLIP_M, Walk, clean_track
from geo.track_same import fingerprint, same_walk_share
from hunts.ground import SiteGround, day_of, grounds_of, whole
from hunts.models import Hunt
from hunts.trace import pack_trace
from tongue import figure, say_many

SAME_WALK = 0.8  # two people's receivers share far less of their seconds and places
OVERLAP_S = 60.0
THIN_M = 0.5


@dataclass(frozen=True)
class PreparedCover:
    """What a track covers of one site: the columns of a TrackCover."""

    site_id: int
    mask: bytes
    grid_lon: float
    grid_lat: float
    cell_m: float
    version: int
    length_m: float


@dataclass(frozen=True)
class PreparedTrack:
    """A track fit to keep; `columns` are those of Track, `lines` its points on this ground."""

    sha256: str
    lines: tuple[Line, ...]
    columns: dict[str, Any]
    covers: tuple[PreparedCover, ...]


def prepare_gpx(
    hunt: Hunt, gpx: Gpx, *, swath_m: float, accuracy_m: float, on: Sequence[SiteGround] = ()
) -> PreparedTrack:
    """The walk in a GPX file. Raises GeoError naming what is wrong with it, with the value and the remedy."""
    if not gpx.tracks:
        held = _("%(counted)s and %(value)s") % {
            "counted": say_many("%(count)s route", "%(count)s routes", len(gpx.routes))
            % {"count": len(gpx.routes)},
            "value": say_many("%(count)s waypoint", "%(count)s waypoints", len(gpx.waypoints))
            % {"count": len(gpx.waypoints)},
        }
        remedy = _("a route is a plan; save the recorded track of the day and give that")
        raise GeoError(_("The file holds %(held)s but no track") % {"held": held}, value=held, remedy=remedy)
    return prepare_track(hunt, gpx.tracks, swath_m=swath_m, accuracy_m=accuracy_m, notes=gpx.notes, on=on)


def prepare_track(
    hunt: Hunt,
    lines: Sequence[Line],
    *,
    swath_m: float,
    accuracy_m: float,
    notes: Sequence[str] = (),
    sha256: str = "",
    on: Sequence[SiteGround] = (),
) -> PreparedTrack:
    """Clean the lines on the hunt's ground and day, and draw what they cover on each site.

    `swath_m` tip to tip, `accuracy_m` the receiver's 95 % radius. `sha256` is given when a kept track is drawn
    again, `on` where the hunt's ground was read already. Raises GeoError for a walk that does not lie here, two
    walks at one time, and ground without cells.
    """
    grounds, faults = (list(on), []) if on else grounds_of(hunt)
    if not grounds:
        raise GeoError(_("There is no ground to draw on"), value=0, remedy=" ".join(faults))
    one, twice = one_walk(lines)
    local, boundary, no_go = whole(grounds)
    walk = clean_track(one, local, boundary, no_go=no_go, day=day_of(hunt), accuracy_m=accuracy_m)
    near = tuple(filter(None, (_near(line, local, boundary) for line in one)))
    covers = [_cover(ground, walk, local, swath_m) for ground in grounds]
    said = [*notes, *twice, *walk.notes, *_strayed(walk, grounds[0], accuracy_m)]
    columns = {
        "line": _thin_line(walk, local),
        "trace": pack_trace(near),
        "points": sum(len(line.lon_lat) for line in near),
        "length_m": walk.length_m,
        "seconds": walk.moving_s or None,
        "swath_m": swath_m,
        "accuracy_m": accuracy_m,
        "outside_points": walk.strays.outside,
        "no_go_points": walk.strays.in_no_go,
        "notes": said,
    }
    return PreparedTrack(sha256 or fingerprint(lines), near, columns, tuple(filter(None, covers)))


def one_walk(lines: Iterable[Line]) -> tuple[list[Line], list[str]]:
    """Lines that one person can have walked, and a note where a walk stood in the file twice.

    Raises GeoError for two different walks at the same time.
    """
    kept: list[Line] = []
    twice = 0
    for line in sorted(lines, key=lambda each: (_span(each)[0], -len(each.lon_lat))):
        begins, ends = _span(line)
        beside = [other for other in kept if min(ends, _span(other)[1]) - begins > OVERLAP_S]
        if not beside:
            kept.append(line)
        elif same_walk_share([line], beside) >= SAME_WALK:
            twice += 1
        else:
            raise _two_at_once(beside[0], line)
    said = say_many(
        "The file holds %(count)s part twice; each counts once.",
        "The file holds %(count)s parts twice; each counts once.",
        twice,
    ) % {"count": twice}
    return kept, [said] if twice else []


def _span(line: Line) -> tuple[float, float]:
    """First and last second of a line; without times it overlaps nothing."""
    known = line.time_s[~np.isnan(line.time_s)]
    return (float(known.min()), float(known.max())) if len(known) else (np.inf, -np.inf)


def _two_at_once(one: Line, other: Line) -> GeoError:
    nameless = _("without a name")
    names = _("“%(one)s” and “%(other)s”") % {"one": one.name or nameless, "other": other.name or nameless}
    remedy = _("one person cannot walk both; give one person's track at a time")
    return GeoError(
        _("The tracks %(names)s in this file run at the same time") % {"names": names},
        value=names,
        remedy=remedy,
    )


def _near(line: Line, local: Local, boundary: Any) -> Line | None:
    """The points that are kept: on this ground, not on the way home."""
    x, y = local.forward(line.lon_lat[:, 0], line.lon_lat[:, 1])
    chosen = shapely.dwithin(
        shapely.points(np.nan_to_num(np.column_stack([x, y]), posinf=1e9)), boundary, CLIP_M
    )
    if not chosen.any():
        return None
    return Line(line.name, line.lon_lat[chosen], line.time_s[chosen], line.hdop[chosen])


def _cover(ground: SiteGround, walk: Walk, local: Local, swath_m: float) -> PreparedCover | None:
    """The cells of one site, or None where the walk did not touch it."""
    grid = ground.grid
    parts = [_onto(part, local, ground.local) for part in walk.parts]
    raster = draw(grid, parts, swath_m / 2)
    if not raster.bits.any():
        return None
    length_m = walk.length_m * _share_inside(parts, walk, ground)
    place = (ground.local.lon0, ground.local.lat0, ground.cell_m)
    return PreparedCover(ground.site.pk, pack(raster), *place, VERSION, length_m)


def _onto(part: Any, local: Local, other: Local) -> Any:
    """Metres on one local grid as metres on another."""
    if local == other:
        return part
    lon, lat = local.inverse(part[:, 0], part[:, 1])
    return np.column_stack(other.forward(lon, lat))


def _share_inside(parts: Sequence[Any], walk: Walk, ground: SiteGround) -> float:
    """The share of the walked metres whose middle lies on this site's searchable ground."""
    steps = [np.hypot(*np.diff(part, axis=0).T) for part in parts]
    total = sum(float(step.sum()) for step in steps)
    if not total:
        return 0.0
    shapely.prepare(ground.searchable)
    inside = 0.0
    for part, step in zip(parts, steps, strict=True):
        middle = (part[:-1] + part[1:]) / 2
        inside += float(step[shapely.contains_xy(ground.searchable, middle[:, 0], middle[:, 1])].sum())
    return inside / total


def _thin_line(walk: Walk, local: Local) -> dict[str, Any]:
    """The walk for the map: half a metre true, to 6 decimals."""
    lines = [shapely.LineString(part).simplify(THIN_M) for part in walk.parts if len(part) > 1]
    degrees = local.to_degrees(shapely.MultiLineString(lines))
    return dict(mapping(shapely.transform(degrees, lambda places: np.round(places, 6))))


def _strayed(walk: Walk, ground: SiteGround, accuracy_m: float) -> list[str]:
    """What lies certainly beyond the boundary or in no-go ground."""
    strays, country = walk.strays, ground.site.country
    told = [
        (strays.outside, strays.first_outside, _("beyond the boundary")),
        (strays.in_no_go, strays.first_in_no_go, _("in no-go ground")),
    ]
    return [
        say_many(
            "%(count)s point lies %(where)s by more than the accuracy of %(accuracy_m)s m, the first at %(position)s.",
            "%(count)s points lie %(where)s by more than the accuracy of %(accuracy_m)s m, the first at %(position)s.",
            count,
        )
        % {
            "count": count,
            "where": where,
            "accuracy_m": figure(f"{accuracy_m:g}"),
            "position": describe_position(*place, accuracy_m, country),
        }
        for count, place, where in told
        if count and place
    ]
