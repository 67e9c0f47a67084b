"""Zipped shapefiles: the layers in an archive, each with its table, its system and its encoding."""

import shapely

from geo.errors import shown
from geo.files.archive import Archive
from geo.files.dbf import Table
from geo.files.model import FileError, Layer, RawShape, Tally, name_from
from geo.files.shp import read_shp
from tongue import figure
from tongue import say as _

_MAX_PRJ = 20_000


def read_shapefiles(archive: Archive, tally: Tally) -> list[Layer]:
    """A layer for each .shp in the zip."""
    return [_layer(archive, name, tally) for name in archive.names(".shp")]


def read_bare_shp(data: bytes, tally: Tally) -> Layer:
    """A .shp sent without its companions: shapes without names, in a system that must be asked."""
    tally.note(_("The .shp file came without its .dbf, so the shapes have no names."))
    return Layer("shapefile", None, _raws(data, None, tally))


def _layer(archive: Archive, name: str, tally: Tally) -> Layer:
    prj, dbf = _beside(archive, name, ".prj"), archive.beside(name, ".dbf")
    page = (_beside(archive, name, ".cpg") or b"").decode("ascii", "ignore").strip("\x00 \r\n")
    table = Table(archive.read(dbf), page[:40] or None) if dbf else None
    if table is None:
        tally.note(
            _("“%(name)s” came without its .dbf, so its shapes have no names.") % {"name": shown(name)}
        )
    said = prj.decode("utf-8", "replace").strip("\ufeff\x00 \r\n") if prj else ""
    return Layer(_("zipped shapefile"), said or None, _raws(archive.read(name), table, tally))


def _beside(archive: Archive, name: str, ending: str) -> bytes | None:
    other = archive.beside(name, ending)
    if other is None:
        return None
    data = archive.read(other)
    if len(data) > _MAX_PRJ:
        raise FileError(
            _("“%(other)s” is %(data)s bytes, which no %(ending)s file is")
            % {"other": shown(other), "data": figure(f"{len(data):,}"), "ending": ending},
            value=len(data),
            remedy=_("export the shapefile again"),
        )
    return data


def _raws(shp: bytes, table: Table | None, tally: Tally) -> list[RawShape]:
    shapes: list[RawShape] = []
    for index, shape in enumerate(read_shp(shp, tally)):
        properties = table.row(index) if table is not None and index < len(table) else {}
        if properties is None:
            tally.count("deleted shape")
        elif shape is None or shapely.is_empty(shape):
            tally.count("empty shape")
        else:
            shapes.append(RawShape(name_from(properties, tally.add_shape()), shape, properties))
    return shapes
