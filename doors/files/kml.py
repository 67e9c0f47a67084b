"""Placemarks with their data, for any globe.

Source: OGC KML 2.3 (12-007r2), its schema ogckml23.xsd: the namespace is still that of 2.2, the version stands on the
root; `uom` is not used, because its type is an address. Coordinates: longitude, latitude.
"""

from collections.abc import Iterable
from typing import BinaryIO
from xml.sax.saxutils import escape, quoteattr

import shapely

from doors.files.gpx import name_of
from doors.files.model import Column, Layer, Record, cell
from doors.files.shapes import Ring, line_of, parts_of, rings_of
from geo.gpx import ILLEGAL

NAMESPACE = "http://www.opengis.net/kml/2.2"
VERSION = "2.3"


def write_kml(out: BinaryIO, layer: Layer, records: Iterable[Record]) -> None:
    out.write(
        f'<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="{NAMESPACE}" version="{VERSION}">\n'
        f"<Document><name>{_text(layer.title)}</name><open>1</open>"
        f"<description>{_text(layer.about_text())}</description>\n".encode()
    )
    for record in records:
        out.write(f"{_placemark(record, layer)}\n".encode())
    out.write(b"</Document>\n</kml>\n")


def _placemark(record: Record, layer: Layer) -> str:
    data = [_data(column, record) for column in layer.columns]
    data.append(_datum("precision", "", record.precision))
    shapes = [_shape(part) for part in parts_of(record.geometry)]
    joined = "".join(shapes)
    return (
        f"<Placemark><name>{_text(name_of(record))}</name><ExtendedData>{''.join(data)}</ExtendedData>"
        f"{joined if len(shapes) < 2 else f'<MultiGeometry>{joined}</MultiGeometry>'}</Placemark>"
    )


def _data(column: Column, record: Record) -> str:
    value = cell(record.properties.get(column.name))
    return "" if value is None or value == "" else _datum(column.name, column.title, str(value))


def _datum(name: str, title: str, value: str) -> str:
    shown = f"<displayName>{_text(title)}</displayName>" if title else ""
    return f"<Data name={quoteattr(name)}>{shown}<value>{_text(value)}</value></Data>"


def _shape(part: shapely.Geometry) -> str:
    if part.geom_type == "Point":
        return f"<Point><coordinates>{part.x:.7f},{part.y:.7f}</coordinates></Point>"
    if part.geom_type == "LineString":
        return f"<LineString><tessellate>1</tessellate>{_coordinates(line_of(part))}</LineString>"
    outer, *holes = rings_of(part)
    inner = "".join(f"<innerBoundaryIs>{_ring(hole)}</innerBoundaryIs>" for hole in holes)
    return f"<Polygon><outerBoundaryIs>{_ring(outer)}</outerBoundaryIs>{inner}</Polygon>"


def _ring(ring: Ring) -> str:
    return f"<LinearRing>{_coordinates(ring)}</LinearRing>"


def _coordinates(line: Ring) -> str:
    return f"<coordinates>{' '.join(f'{lon:.7f},{lat:.7f}' for lon, lat in line)}</coordinates>"


def _text(text: str) -> str:
    return escape(ILLEGAL.sub("", text))
