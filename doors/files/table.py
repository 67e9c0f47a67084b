"""A CSV file and its data dictionary in one ZIP.

Source: RFC 4180; W3C Recommendations Model for Tabular Data and Metadata Vocabulary for Tabular Data, 17 December 2015.
Units stand as schema.org's unitText, a prefix that the vocabulary knows.
"""

import json
import zipfile
from collections.abc import Iterable, Iterator
from typing import Any, BinaryIO

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from doors.files.model import Column, Layer, Record, cell
from doors.files.shapes import is_lone_point, rounded
from web.csv_safe import Cell, csv_lines

PLACE = ("longitude", "latitude", "geometry", "precision")
DATATYPES: dict[tuple[str, str], str] = {
    ("integer", ""): "integer",
    ("number", ""): "number",
    ("boolean", ""): "boolean",
    ("string", "date"): "date",
    ("string", "date-time"): "dateTime",
}


def write_csv(out: BinaryIO, layer: Layer, records: Iterable[Record]) -> None:
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        with archive.open(f"{layer.name}.csv", "w", force_zip64=True) as file:
            for line in csv_lines(["id", *(c.name for c in layer.columns), *PLACE], _rows(layer, records)):
                file.write(line.encode())
        archive.writestr("csv-metadata.json", json.dumps(metadata(layer), indent=1, ensure_ascii=False))
        archive.writestr("README.txt", readme(layer))


def readme(layer: Layer) -> str:
    guard = _("A cell of text that a spreadsheet would run as a formula begins with an apostrophe.")
    return f"{layer.about_text()}\n\n{layer.description}\n{guard}\n"


def _rows(layer: Layer, records: Iterable[Record]) -> Iterator[list[Cell]]:
    for record in records:
        given = [cell(record.properties.get(column.name)) for column in layer.columns]
        yield [record.id, *given, *_place(record), record.precision]


def _place(record: Record) -> list[Cell]:
    geometry = record.geometry
    if geometry is None or geometry.is_empty:
        return [None, None, ""]
    shape = rounded(geometry)
    lon, lat = (shape.x, shape.y) if is_lone_point(shape) else (None, None)
    return [lon, lat, shape.wkt]


def metadata(layer: Layer) -> dict[str, Any]:
    """The content of csv-metadata.json."""
    return {
        "@context": ["http://www.w3.org/ns/csvw", {"@language": get_language() or "en"}],
        "url": f"{layer.name}.csv",
        "dc:title": layer.title,
        "dc:description": layer.about_text(),
        "dc:created": {"@value": layer.at.isoformat(timespec="seconds"), "@type": "xsd:dateTime"},
        "dc:publisher": layer.club,
        "dialect": {"encoding": "utf-8", "header": True, "delimiter": ",", "doubleQuote": True},
        "tableSchema": {
            "columns": [_column(column) for column in [_ID, *layer.columns, *_place_columns()]],
            "primaryKey": "id",
        },
    }


_ID = Column("id", "id")


def _place_columns() -> list[Column]:
    return [
        Column(
            "longitude", _("Longitude"), "number", description=_("WGS84; only of a single point"), unit="°"
        ),
        Column("latitude", _("Latitude"), "number", description=_("WGS84; only of a single point"), unit="°"),
        Column("geometry", _("Geometry"), description=_("Well-known text, longitude before latitude")),
        Column("precision", _("Precision"), description=_("How finely the person named may see the place")),
    ]


def _column(column: Column) -> dict[str, Any]:
    return {
        "name": column.name,
        "titles": [column.name, column.title] if column.title != column.name else column.name,
        "datatype": DATATYPES.get((column.type, column.format), "string"),
        "required": column.name == "id",
        **({"dc:description": column.description} if column.description else {}),
        **({"schema:unitText": column.unit} if column.unit else {}),
    }
