"""The formats on offer, and a file of one of them."""

import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, BinaryIO

from django.utils.translation import gettext_lazy as _lazy

from doors.files.geojson import write_geojson
from doors.files.gpx import write_gpx
from doors.files.kml import write_kml
from doors.files.model import Layer, Record, Tally
from doors.files.shapefile import write_shapefile
from doors.files.table import write_csv


@dataclass(frozen=True)
class Format:
    """A way of writing a layer. `words` say what it is good for."""

    code: str
    title: str
    words: Any
    extension: str
    media_type: str
    write: Callable[[BinaryIO, Layer, Iterable[Record]], None]


FORMATS = {
    each.code: each
    for each in (
        Format(
            "geojson",
            "GeoJSON",
            _lazy("for maps in a browser and for map programs; every property with its type"),
            "geojson",
            "application/geo+json",
            write_geojson,
        ),
        Format(
            "csv",
            "CSV",
            _lazy("for spreadsheets, with a data dictionary that machines read; in a ZIP"),
            "csv.zip",
            "application/zip",
            write_csv,
        ),
        Format(
            "gpx",
            "GPX 1.1",
            _lazy("for handheld receivers and phones; only exact points and lines, no squares"),
            "gpx",
            "application/gpx+xml",
            write_gpx,
        ),
        Format(
            "kml",
            "KML 2.3",
            _lazy("for globes"),
            "kml",
            "application/vnd.google-earth.kml+xml",
            write_kml,
        ),
        Format(
            "shapefile",
            "Shapefile",
            _lazy("for older map programs; short names, long texts are cut; in a ZIP"),
            "shp.zip",
            "application/zip",
            write_shapefile,
        ),
    )
}


def make_file(form: Format, layer: Layer, records: Iterable[Record]) -> tuple[Any, Tally]:
    """An open temporary file at its beginning, and what is in it. Memory does not grow with the rows."""
    out = tempfile.TemporaryFile()  # noqa: SIM115 (whoever sends it closes it)
    tally = Tally()
    try:
        form.write(out, layer, tally.watch(records))
    except BaseException:
        out.close()
        raise
    out.seek(0)
    return out, tally
