"""GPX 1.1 files: read tracks, routes and waypoints safely, write routes and waypoints.

Reading refuses document types (and so entities and external references), is bounded in bytes and points,
skips positions that cannot be, and says in plain words what it skipped. Source: GPX 1.1 schema
documentation (2004).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from geo.errors import GeoError, shown
from tongue import say as _
from tongue import say_many

NAMESPACES = ("http://www.topografix.com/GPX/1/1", "http://www.topografix.com/GPX/1/0", "")
MAX_DEPTH = 40
MAX_TEXT = 2000
POINT_TAGS = {"trkpt", "rtept", "wpt"}
TEXT_TAGS = {"name", "time", "hdop", "ele", "desc"}


class GpxError(GeoError):
    """A file or value that cannot be read or written as GPX."""


@dataclass(frozen=True)
class Line:
    """A track segment or a route:

    lon/lat degrees (n, 2), POSIX seconds UTC (n,), hdop (n,); NaN where not given.
    """

    name: str
    lon_lat: NDArray[np.float64]
    time_s: NDArray[np.float64]
    hdop: NDArray[np.float64]


@dataclass(frozen=True)
class Waypoint:
    """One named point: WGS84 degrees, UTC time if given, plain text."""

    lon: float
    lat: float
    name: str = ""
    description: str = ""
    time: datetime | None = None


@dataclass(frozen=True)
class Gpx:
    """What a file held; `notes` are sentences about what was skipped or assumed."""

    tracks: tuple[Line, ...]
    routes: tuple[Line, ...]
    waypoints: tuple[Waypoint, ...]
    notes: tuple[str, ...]

    @property
    def point_count(self) -> int:
        """Points in tracks, routes and waypoints together."""
        return sum(len(line.lon_lat) for line in self.tracks + self.routes) + len(self.waypoints)


class _Points:
    """Growing columns of one line."""

    def __init__(self) -> None:
        self.name = ""
        self.lon_lat: list[tuple[float, float]] = []
        self.time_s: list[float] = []
        self.hdop: list[float] = []

    def line(self, name: str) -> Line:
        count = len(self.lon_lat)
        places = np.array(self.lon_lat, dtype=np.float64).reshape(count, 2)
        return Line(
            name, places, np.array(self.time_s, dtype=np.float64), np.array(self.hdop, dtype=np.float64)
        )


class Reader:
    """Expat handlers:

    `path` holds local names of open elements; foreign and extension elements are passed over.
    """

    def __init__(self, max_points: int) -> None:
        self.max_points = max_points
        self.count = self.bad_places = self.bad_times = self.naive_times = 0
        self.first_bad = ""
        self.path: list[str] = []
        self.skipping = 0
        self.tracks: list[Line] = []
        self.routes: list[Line] = []
        self.waypoints: list[Waypoint] = []
        self.points = _Points()
        self.track_name = ""
        self.held: dict[str, str] = {}
        self.lost = False
        self.text: list[str] = []
        self.notes: list[str] = []
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.parser.StartDoctypeDeclHandler = self.refuse
        self.parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
        self.ends: dict[str, Callable[[], None]] = {"trkseg": self.end_track, "rte": self.end_route}

    def refuse(self, name: str, *_rest: object) -> None:
        what = _("The file declares a document type (%(name)s), which GPX never has") % {"name": shown(name)}
        raise GpxError(what, value=name, remedy=_("export it again as GPX 1.1"))

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        space, _rest, local = tag.rpartition(" ")
        if not self.path and (local != "gpx" or space not in NAMESPACES):
            what = _("The file starts with <%(local)s>, not with <gpx>") % {"local": shown(local)}
            raise GpxError(what, value=local, remedy=_("export it as GPX 1.1"))
        if self.skipping + len(self.path) >= MAX_DEPTH:
            what = _("The file nests elements more than %(max_depth)s deep") % {"max_depth": MAX_DEPTH}
            raise GpxError(what, value=local, remedy=_("export it again as GPX 1.1"))
        if self.skipping or space not in NAMESPACES or local == "extensions":
            self.skipping += 1
            return
        self.path.append(local)
        if local in POINT_TAGS:
            self.start_point(attributes)
        elif local in {"trkseg", "rte"}:
            self.points = _Points()
        elif local == "trk":
            self.track_name = ""
        elif local in TEXT_TAGS:
            self.text = []
            self.parser.CharacterDataHandler = self.text.append

    def start_point(self, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.count > self.max_points:
            what = _("The file has more than %(max_points)s points") % {"max_points": self.max_points}
            raise GpxError(what, value=self.count, remedy=_("give one day at a time"))
        self.held = {"lon": attributes.get("lon", ""), "lat": attributes.get("lat", "")}

    def end(self, tag: str) -> None:
        if self.skipping:
            self.skipping -= 1
            return
        local = self.path.pop()
        if local in TEXT_TAGS:
            self.parser.CharacterDataHandler = None
            self.end_text(local, "".join(self.text).strip()[:MAX_TEXT])
        elif local in POINT_TAGS:
            self.end_point(local)
        elif local in self.ends:
            self.ends[local]()

    def end_text(self, local: str, text: str) -> None:
        parent = self.path[-1] if self.path else ""
        if parent in POINT_TAGS:
            self.held[local] = text
        elif local == "name" and parent == "trk":
            self.track_name = text
        elif local == "name" and parent == "rte":
            self.points.name = text

    def end_point(self, local: str) -> None:
        lon, lat = _degrees(self.held["lon"], 180), _degrees(self.held["lat"], 90)
        if math.isnan(lon + lat):
            self.bad_places += 1
            if not self.first_bad:
                place = f'lat="{self.held["lat"][:20]}" lon="{self.held["lon"][:20]}"'
                self.first_bad = _("%(place)s in line %(currentlinenumber)s") % {
                    "place": place,
                    "currentlinenumber": self.parser.CurrentLineNumber,
                }
            return
        time = self.time_of(self.held.get("time"))
        if local == "wpt":
            name, description = self.held.get("name", ""), self.held.get("desc", "")
            self.waypoints.append(Waypoint(lon, lat, name, description, time))
            return
        self.points.lon_lat.append((lon, lat))
        self.points.time_s.append(time.timestamp() if time else math.nan)
        self.points.hdop.append(_number(self.held.get("hdop", "")))

    def time_of(self, text: str | None) -> datetime | None:
        if not text:
            return None
        try:
            time = datetime.fromisoformat(text)
            if time.tzinfo is None:
                self.naive_times += 1
                return time.replace(tzinfo=UTC)
            return time.astimezone(UTC)
        except (ValueError, OverflowError):
            self.bad_times += 1
            return None

    def end_track(self) -> None:
        if self.points.lon_lat:
            self.tracks.append(self.points.line(self.track_name))
        self.points = _Points()

    def end_route(self) -> None:
        if self.points.lon_lat:
            self.routes.append(self.points.line(self.points.name))
        self.points = _Points()

    def close_early(self, line_number: int) -> None:
        self.notes.append(
            _("The file breaks off in line %(line_number)s; what came before it was read.")
            % {"line_number": line_number}
        )
        if "trk" in self.path:
            self.end_track()
        elif "rte" in self.path:
            self.end_route()

    def result(self) -> Gpx:
        if self.count and self.count == self.bad_places:
            what = _("No point has a position on Earth (first: %(first_bad)s)") % {
                "first_bad": self.first_bad
            }
            raise GpxError(
                what, value=self.first_bad, remedy=_("give latitudes to 90 and longitudes to 180 degrees")
            )
        if self.bad_places:
            self.notes.append(
                say_many(
                    "%(count)s point without a position left out (first: %(first)s).",
                    "%(count)s points without a position left out (first: %(first)s).",
                    self.bad_places,
                )
                % {"count": self.bad_places, "first": self.first_bad}
            )
        if self.bad_times:
            self.notes.append(
                say_many(
                    "%(count)s time left out: not a date and time of day.",
                    "%(count)s times left out: not a date and time of day.",
                    self.bad_times,
                )
                % {"count": self.bad_times}
            )
        if self.naive_times:
            self.notes.append(
                say_many(
                    "%(count)s time names no zone, read as UTC as GPX says.",
                    "%(count)s times name no zone, read as UTC as GPX says.",
                    self.naive_times,
                )
                % {"count": self.naive_times}
            )
        if not self.count:
            self.notes.append(_("The file holds no points."))
        return Gpx(tuple(self.tracks), tuple(self.routes), tuple(self.waypoints), tuple(self.notes))


def _number(text: str) -> float:
    """A decimal as XML Schema spells it, or NaN."""
    try:
        return (
            float(text) if "_" not in text and text.lower() not in {"inf", "-inf", "infinity"} else math.nan
        )
    except ValueError:
        return math.nan


def _degrees(text: str, limit: float) -> float:
    value = _number(text)
    return value if abs(value) <= limit else math.nan
