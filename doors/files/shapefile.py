"""A zipped shapefile: a layer each for points, lines and areas, and a table of what has no place here.

Source: ESRI Shapefile Technical Description (July 1998): one kind of shape a file. dBASE: names of at most 10 letters,
text of at most 254 bytes; what is longer is cut, and the README says so. Longest texts are measured first, for a dBASE
file gives every row its longest text's room.
"""

import json
import tempfile
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any, BinaryIO

import pyproj
import shapefile
import shapely
from django.utils.translation import gettext as _

from doors.files.model import Column, Layer, Record, cell
from doors.files.shapes import line_of, parts_of, rings_of
from doors.files.table import readme

MOST_BYTES = 254
NAME_LENGTH = 10
NO_PLACE = "no_place"
KINDS = {"Point": "points", "LineString": "lines", "Polygon": "areas"}
TYPES = {"points": shapefile.POINT, "lines": shapefile.POLYLINE, "areas": shapefile.POLYGON}
PARTS = ("shp", "shx", "dbf")


def write_shapefile(out: BinaryIO, layer: Layer, records: Iterable[Record]) -> None:
    columns = [Column("id", "id"), *layer.columns, Column("precision", _("Precision"))]
    with tempfile.TemporaryFile("w+") as held, tempfile.TemporaryDirectory() as folder:
        room = _hold(held, columns, records)
        held.seek(0)
        names = _write_layers(Path(folder), layer.name, columns, room, _held(held))
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            for name in names:
                archive.write(Path(folder) / name, name)
            archive.writestr("README.txt", f"{readme(layer)}\n{_dictionary(columns)}")


def short_names(columns: Sequence[Column]) -> list[str]:
    """Names of at most 10 letters, each once: a second one that would be cut to the same ends in a number."""
    taken: list[str] = []
    for column in columns:
        name = column.name[:NAME_LENGTH]
        for number in range(2, 100):
            if name not in taken:
                break
            name = f"{column.name[: NAME_LENGTH - len(str(number))]}{number}"
        taken.append(name)
    return taken


def _hold(held: Any, columns: Sequence[Column], records: Iterable[Record]) -> list[int]:
    """Write each record to a line; the most bytes of each column."""
    room = [1] * len(columns)
    for record in records:
        values = [record.id, *(cell(record.properties.get(c.name)) for c in columns[1:-1]), record.precision]
        room = [max(most, len(str(value).encode())) for most, value in zip(room, values, strict=True)]
        parts = [part.wkb_hex for part in parts_of(record.geometry)]
        held.write(json.dumps([values, parts], default=float) + "\n")
    return [min(most, MOST_BYTES) for most in room]


def _held(held: Any) -> Iterator[tuple[list[Any], list[shapely.Geometry]]]:
    for line in held:
        values, parts = json.loads(line)
        yield values, [shapely.from_wkb(part) for part in parts]


def _write_layers(folder: Path, name: str, columns: Any, room: Any, rows: Any) -> list[str]:
    """The names of the files written into `folder`."""
    writers: dict[str, Any] = {}
    with ExitStack() as stack:
        for values, parts in rows:
            row = [_value(v, c, n) for v, c, n in zip(values, columns, room, strict=True)]
            for kind in sorted({KINDS[part.geom_type] for part in parts}) or [NO_PLACE]:
                if kind not in writers:
                    writers[kind] = _writer(folder / f"{name}_{kind}", kind, columns, room, stack)
                for shape in _shapes(kind, [part for part in parts if KINDS[part.geom_type] == kind]):
                    if shape is not None:
                        writers[kind].shape(shape)
                    writers[kind].record(*row)
    return [file for kind in writers for file in _beside(folder, f"{name}_{kind}", kind)]


def _writer(path: Path, kind: str, columns: Sequence[Column], room: Sequence[int], stack: ExitStack) -> Any:
    """A layer's writer with its fields; `stack` closes it."""
    if kind == NO_PLACE:
        table = stack.enter_context(path.with_name(f"{path.name}.dbf").open("w+b"))
        writer = stack.enter_context(shapefile.Writer(dbf=table, encoding="utf-8"))
    else:
        writer = stack.enter_context(shapefile.Writer(str(path), shapeType=TYPES[kind], encoding="utf-8"))
    for name, column, most in zip(short_names(columns), columns, room, strict=True):
        if column.type == "boolean":
            writer.field(name, "L", 1)
        elif column.type in ("integer", "number"):
            writer.field(name, "N", 20, 6 if column.type == "number" else 0)
        elif column.format == "date":
            writer.field(name, "D", 8)
        else:
            writer.field(name, "C", most)
    return writer


def _shapes(kind: str, parts: list[shapely.Geometry]) -> list[Any]:
    """What stands in the file for these parts: a row for each point, one row for all lines or areas."""
    if kind == NO_PLACE:
        return [None]
    if kind == "points":
        return [{"type": "Point", "coordinates": [part.x, part.y]} for part in parts]
    if kind == "lines":
        return [{"type": "MultiLineString", "coordinates": [line_of(part) for part in parts]}]
    return [{"type": "MultiPolygon", "coordinates": [rings_of(part) for part in parts]}]


def _value(value: Any, column: Column, most: int) -> Any:
    if value is None or value == "":
        return None if column.type != "string" or column.format == "date" else ""
    if column.type == "boolean":
        return value == "true"
    if column.type == "string" and column.format != "date":
        return str(value).encode()[:most].decode("utf-8", "ignore")
    return value.replace("-", "") if column.format == "date" else value


def _beside(folder: Path, stem: str, kind: str) -> list[str]:
    """The files of one layer, with its encoding and its projection."""
    (folder / f"{stem}.cpg").write_text("UTF-8")
    if kind == NO_PLACE:
        return [f"{stem}.dbf", f"{stem}.cpg"]
    (folder / f"{stem}.prj").write_text(pyproj.CRS.from_epsg(4326).to_wkt("WKT1_ESRI"))
    return [f"{stem}.{end}" for end in (*PARTS, "cpg", "prj")]


def _dictionary(columns: Sequence[Column]) -> str:
    """Which column each short name stands for, and what was cut."""
    lines = [
        f"{short}: {column.title}" + (f" ({column.unit})" if column.unit else "")
        for short, column in zip(short_names(columns), columns, strict=True)
    ]
    cut = _("Texts are cut at 254 bytes, which is all that this format holds; the CSV file has them whole.")
    return "\n".join([*lines, "", cut, ""])
