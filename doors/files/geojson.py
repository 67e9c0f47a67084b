"""A FeatureCollection, a feature a line.

Source: RFC 7946; "metadata", "numberReturned" and "precision" are foreign members (section 6.1).
"""

import json
from collections.abc import Iterable
from typing import Any, BinaryIO

from doors.files.model import Layer, Record, Tally
from doors.files.shapes import as_geojson


def write_geojson(out: BinaryIO, layer: Layer, records: Iterable[Record]) -> None:
    tally = Tally()
    head = {"name": layer.name, **layer.facts()}
    out.write(f'{{"type":"FeatureCollection","metadata":{_json(head)},"features":['.encode())
    for number, record in enumerate(tally.watch(records)):
        out.write(b",\n" if number else b"\n")
        out.write(_json(feature(record)).encode())
    tail = {"numberReturned": tally.rows, "precision": dict(tally.by_precision)}
    out.write(f"\n],{_json(tail)[1:]}\n".encode())


def feature(record: Record) -> dict[str, Any]:
    return {
        "type": "Feature",
        "id": record.id,
        "geometry": as_geojson(record.geometry),
        "properties": {**record.properties, "precision": record.precision},
    }


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False, default=_plain)


def _plain(value: Any) -> str | float:
    """Days and times as RFC 3339 has them; decimals as numbers."""
    return value.isoformat() if hasattr(value, "isoformat") else float(value)
