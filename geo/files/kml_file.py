"""KML 2.2 (OGC 07-147r2), its 2.3 successor and the older namespaces, as raw shapes in WGS84."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import shapely

from geo.errors import shown
from geo.files.model import FileError, Layer, Properties, RawShape, Tally, clean_properties, name_from
from geo.files.rings import is_ring
from geo.files.xml_guard import make_parser, parse
from tongue import say as _

_OGC = "http://www.opengis.net/kml/"
_BEFORE_OGC = "http://earth.google.com/kml/"
_MAX_DEPTH = 60
_MAX_WORDS = 20_000
_CHARS_PER_POINT = 80
_GEOMETRIES = {"Polygon", "LineString", "LinearRing", "Point"}
_TEXTS = {"name", "description", "value", "SimpleData", "coordinates"}
_LINKS = {"NetworkLink", "GroundOverlay", "PhotoOverlay", "ScreenOverlay", "Model"}
_TUPLE = re.compile(r"[^\s,]+(?:\s*,\s*[^\s,]+)*")


def is_kml_space(space: str) -> bool:
    """True for the namespaces that KML has had, and for none."""
    return not space or space.startswith((_OGC, _BEFORE_OGC))


def read_kml(data: bytes, tally: Tally, *, alone: bool = True) -> Layer:
    """Every placemark with a shape, in folder order. Raises FileError for what is not KML.

    `alone` is false for one of several documents in a KMZ, whose links lead to the others.
    """
    reader = _Reader(tally)
    parse(reader.parser, data)
    if reader.links and alone:
        tally.note(_("Links to other files and pictures were not followed."))
    return Layer("KML" if alone else "KMZ", "OGC:CRS84", reader.shapes)


class _Reader:
    """Expat handlers. `path` holds local names of open elements; foreign elements are passed over."""

    def __init__(self, tally: Tally) -> None:
        self.tally = tally
        self.shapes: list[RawShape] = []
        self.path: list[str] = []
        self.skipping = self.links = 0
        self.text: list[str] = []
        self.text_length = self.most_text = 0
        self.folders: list[str] = []
        self.properties: dict[str, Any] = {}
        self.key = ""
        self.geometries: list[shapely.Geometry] = []
        self.rings: list[tuple[bool, np.ndarray[Any, Any]]] = []
        self.line: np.ndarray[Any, Any] | None = None
        self.parser = make_parser()
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.ends: dict[str, Callable[[], None]] = {
            "Placemark": self.end_placemark,
            "Polygon": self.end_polygon,
            "LinearRing": self.end_ring,
            "LineString": self.end_line,
            "Point": self.end_point,
        }

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        space, _rest, local = tag.rpartition(" ")
        if len(self.path) + self.skipping >= _MAX_DEPTH:
            raise FileError(
                _("The file nests elements more than %(max_depth)s deep") % {"max_depth": _MAX_DEPTH},
                value=local,
                remedy=_("export it again"),
            )
        if self.skipping or not is_kml_space(space):
            self.skipping += 1
            return
        self.path.append(local)
        if local in _TEXTS:
            self.start_text(local)
        elif local in _LINKS:
            self.links += 1
        elif local == "Folder":
            self.folders.append("")
        elif local == "Placemark":
            self.properties, self.geometries = {}, []
        elif local == "Polygon":
            self.rings = []
        elif local in _GEOMETRIES:
            self.line = None
        if local in {"Data", "SimpleData"}:
            self.key = attributes.get("name", "")

    def start_text(self, local: str) -> None:
        limits = self.tally.limits
        self.text, self.text_length = [], 0
        self.most_text = _CHARS_PER_POINT * limits.points if local == "coordinates" else _MAX_WORDS
        self.parser.CharacterDataHandler = self.gather

    def gather(self, text: str) -> None:
        self.text_length += len(text)
        if self.text_length <= self.most_text:
            self.text.append(text)
        elif self.path[-1:] == ["coordinates"]:
            self.tally.add_points(self.tally.limits.points + 1)

    def end(self, tag: str) -> None:
        if self.skipping:
            self.skipping -= 1
            return
        local = self.path.pop()
        if local in _TEXTS:
            self.parser.CharacterDataHandler = None
            self.end_text(local, "".join(self.text).strip())
        elif local == "Folder":
            self.folders.pop()
        elif local in self.ends:
            self.ends[local]()

    def end_text(self, local: str, text: str) -> None:
        parent = self.path[-1] if self.path else ""
        if local == "coordinates":
            self.line = self.positions(text)
        elif local == "name" and parent == "Folder":
            self.folders[-1] = text
        elif "Placemark" in self.path and (local != "name" or parent == "Placemark"):
            key = self.key if local in {"value", "SimpleData"} else local
            self.properties[key] = text

    def positions(self, text: str) -> np.ndarray[Any, Any]:
        """Tuples of longitude, latitude and perhaps height, parted by space (section 16.9)."""
        return np.fromiter(self.numbers(text), dtype=np.float64).reshape(-1, 2)

    def numbers(self, text: str) -> Iterator[float]:
        """One by one, so that a list without end is refused before it is made."""
        for found in _TUPLE.finditer(text):
            self.tally.add_points(1)
            yield from self.position(found[0])

    def position(self, word: str) -> tuple[float, float]:
        values = word.split(",")
        try:
            lon, lat = float(values[0]), float(values[1])
        except (ValueError, IndexError):
            lon = lat = np.nan
        if not (abs(lon) < 1e12 and abs(lat) < 1e12):
            raise FileError(
                _("“%(word)s” before line %(currentlinenumber)s is not a position")
                % {"word": shown(word), "currentlinenumber": self.parser.CurrentLineNumber + 1},
                value=shown(word),
                remedy=_("give longitude,latitude in degrees, parted by a comma without spaces"),
            )
        if len(values) > 2 and values[2].strip("-+0. "):
            self.tally.note(_("Heights were left out."))
        return lon, lat

    def end_ring(self) -> None:
        if self.line is None or not is_ring(self.line):
            self.tally.count("short ring")
        elif "Polygon" in self.path:
            self.rings.append(("innerBoundaryIs" not in self.path, self.line))
        else:
            self.geometries.append(shapely.LineString(np.vstack([self.line, self.line[:1]])))

    def end_polygon(self) -> None:
        outer = [ring for is_outer, ring in self.rings if is_outer]
        holes = [ring for is_outer, ring in self.rings if not is_outer]
        if not outer:
            self.geometries.append(shapely.Polygon())
            return
        self.geometries.append(shapely.Polygon(outer[0], holes))
        self.geometries.extend(shapely.Polygon(ring) for ring in outer[1:])

    def end_line(self) -> None:
        if self.line is not None and len(self.line) >= 2:
            self.geometries.append(shapely.LineString(self.line))

    def end_point(self) -> None:
        if self.line is not None and len(self.line):
            self.geometries.append(shapely.Point(self.line[0]))

    def end_placemark(self) -> None:
        if not self.geometries:
            self.tally.count("empty placemark")
            return
        number = self.tally.add_shape()
        whole = self.geometries[0] if len(self.geometries) == 1 else _together(self.geometries)
        properties = self.attributes()
        self.shapes.append(RawShape(name_from(properties, number), whole, properties))

    def attributes(self) -> Properties:
        folder = next((name for name in reversed(self.folders) if name), "")
        return clean_properties(self.properties | ({"folder": folder} if folder else {}))


def _together(geometries: list[shapely.Geometry]) -> shapely.Geometry:
    if all(g.geom_type == "Polygon" for g in geometries):
        return shapely.MultiPolygon([g for g in geometries if not g.is_empty])
    return shapely.GeometryCollection(geometries)


def main_first(names: list[str]) -> list[str]:
    """The documents of a KMZ, the main one first: doc.kml, else the first at the root (OGC 07-147r2, annex C)."""
    return sorted(names, key=lambda name: (name.lower() != "doc.kml", name.count("/")))
