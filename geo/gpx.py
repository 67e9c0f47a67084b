"""GPX 1.1 files: read tracks, routes and waypoints safely; write routes and waypoints that any receiver
reads.

Reading refuses document types (and so entities and external references), is bounded in bytes and points,
skips positions that cannot be, and says in plain words what it skipped. Source: GPX 1.1 schema
documentation (2004): element order, longitude below 180, times in UTC.
"""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

from geo.errors import shown
from geo.gpx_parser import NAMESPACES, Gpx, GpxError, Line, Reader, Waypoint
from tongue import figure
from tongue import say as _

__all__ = [
    "END",
    "Gpx",
    "GpxError",
    "Line",
    "Route",
    "Waypoint",
    "head",
    "read_gpx",
    "track",
    "waypoint",
    "write_gpx",
]

MAX_BYTES = 25_000_000
MAX_POINTS = 250_000
CUT_SHORT = {
    expat.errors.codes[expat.errors.XML_ERROR_NO_ELEMENTS],
    expat.errors.codes[expat.errors.XML_ERROR_UNCLOSED_TOKEN],
    expat.errors.codes[expat.errors.XML_ERROR_PARTIAL_CHAR],
}
ILLEGAL = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def read_gpx(data: bytes, *, max_bytes: int = MAX_BYTES, max_points: int = MAX_POINTS) -> Gpx:
    """Everything a GPX 1.1 (or 1.0) file holds.

    One `Line` per track segment with at least one point. A file cut short (a phone that died) gives what it
    holds, with a note. Raises GpxError for anything else that is no GPX, too large, or with a document
    type.
    """
    _check_bytes(data, max_bytes)
    reader = Reader(max_points)
    try:
        reader.parser.Parse(data, True)
    except (ValueError, LookupError) as error:
        if isinstance(error, GpxError):
            raise
        what = _("The file is in an encoding that cannot be read (%(str)s)") % {"str": shown(str(error))}
        raise GpxError(what, value=str(error), remedy=_("export it again in UTF-8")) from error
    except expat.ExpatError as error:
        if error.code not in CUT_SHORT or not reader.count:
            said = expat.errors.messages.get(error.code, "broken")
            what = _("Line %(lineno)s of the file cannot be read (%(said)s)") % {
                "lineno": error.lineno,
                "said": said,
            }
            raise GpxError(what, value=error.lineno, remedy=_("export it again as GPX 1.1")) from error
        reader.close_early(error.lineno)
    return reader.result()


def _check_bytes(data: bytes, max_bytes: int) -> None:
    if len(data) > max_bytes:
        remedy = _("give at most %(max_bytes)s MB, one day at a time") % {
            "max_bytes": f"{max_bytes / 1000000.0:.0f}"
        }
        raise GpxError(
            _("The file has %(data)s MB") % {"data": figure(f"{len(data) / 1000000.0:.1f}")},
            value=len(data),
            remedy=remedy,
        )
    if not data.strip():
        raise GpxError(_("The file is empty"), value=0, remedy=_("export it again as GPX 1.1"))
    if data[:2] in (b"\x1f\x8b", b"PK"):
        raise GpxError(
            _("The file is compressed"), value=data[:2], remedy=_("unpack it and give the .gpx file inside")
        )


@dataclass(frozen=True)
class Route:
    """A line to follow: lon/lat degrees in order, and the name the receiver shows."""

    name: str
    coordinates: Sequence[tuple[float, float]]
    description: str = ""


def write_gpx(
    *,
    creator: str,
    name: str,
    at: datetime,
    routes: Iterable[Route] = (),
    waypoints: Iterable[Waypoint] = (),
) -> bytes:
    """A GPX 1.1 document in UTF-8: metadata, waypoints, then routes numbered from 0.

    `at` is an aware time, written in UTC. Positions carry 7 decimals (1 cm).
    Raises GpxError for a position off the globe, an aimless route, an empty creator or a time without zone.
    """
    lines = [
        head(creator=creator, name=name, at=at),
        *map(waypoint, waypoints),
        *(_route(number, route) for number, route in enumerate(routes)),
        END,
    ]
    return ("\n".join(lines) + "\n").encode()


END = "</gpx>"


def head(*, creator: str, name: str, at: datetime, description: str = "") -> str:
    """How a document begins; waypoints follow, then routes, then tracks, then END."""
    if not creator.strip():
        raise GpxError(_("GPX names its creator"), value=creator, remedy=_("give the club's name"))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<gpx xmlns="{NAMESPACES[0]}" version="1.1" creator={quoteattr(_clean(creator))}>\n'
        f"<metadata>{_named(name, description)}<time>{_utc(at)}</time></metadata>"
    )


def waypoint(point: Waypoint) -> str:
    time = f"<time>{_utc(point.time)}</time>" if point.time else ""
    return f"<wpt {_place(point.lon, point.lat)}>{time}{_named(point.name, point.description)}</wpt>"


def _route(number: int, route: Route) -> str:
    if len(route.coordinates) < 2:
        what = _("Route %(name)s has %(coordinates)s points") % {
            "name": shown(route.name),
            "coordinates": len(route.coordinates),
        }
        raise GpxError(what, value=route.name, remedy=_("give at least 2"))
    points = "".join(f"<rtept {_place(lon, lat)}/>" for lon, lat in route.coordinates)
    return f"<rte>{_named(route.name, route.description)}<number>{number}</number>{points}</rte>"


def track(name: str, segments: Iterable[Sequence[tuple[float, float]]], description: str = "") -> str:
    """One track without times: a segment for each part, lon/lat degrees in order."""
    parts = "".join(
        "<trkseg>" + "".join(f"<trkpt {_place(lon, lat)}/>" for lon, lat in part) + "</trkseg>"
        for part in segments
    )
    return f"<trk>{_named(name, description)}{parts}</trk>"


def _named(name: str, description: str) -> str:
    described = f"<desc>{_text(description)}</desc>" if description else ""
    return (f"<name>{_text(name)}</name>" if name else "") + described


def _place(lon: float, lat: float) -> str:
    if not (math.isfinite(lon) and math.isfinite(lat) and abs(lon) <= 180 and abs(lat) <= 90):
        what = _("Longitude %(lon)s, latitude %(lat)s is not on Earth") % {
            "lon": f"{lon:g}",
            "lat": f"{lat:g}",
        }
        raise GpxError(what, value=(lon, lat), remedy=_("give WGS84 degrees"))
    lon = round(lon, 7)
    return f'lat="{lat:.7f}" lon="{-180 if lon == 180 else lon:.7f}"'


def _utc(time: datetime) -> str:
    if time.tzinfo is None:
        raise GpxError(
            _("%(time)s has no time zone") % {"time": time}, value=time, remedy=_("give an aware time")
        )
    return time.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _clean(text: str) -> str:
    """XML 1.0 cannot hold control characters and lone surrogates."""
    return ILLEGAL.sub("", text)


def _text(text: str) -> str:
    return escape(_clean(text))
