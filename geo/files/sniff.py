"""What kind of file it is, judged by what is in it: a name proves nothing."""

from geo.errors import shown
from geo.files.archive import Archive
from geo.files.gpx_file import read_gpx_boundaries
from geo.files.json_file import read_geojson
from geo.files.kml_file import main_first, read_kml
from geo.files.model import FileError, Layer, Tally
from geo.files.shapefile import read_bare_shp, read_shapefiles
from geo.files.shp import MAGIC
from geo.files.wkt_file import looks_like_wkt, read_wkt
from geo.files.xml_guard import root_of
from tongue import figure, noop
from tongue import say as _

_REMEDY = noop("give GeoJSON, KML, KMZ, GPX, a zipped shapefile or WKT")
_HEAD = 4_096
_OTHERS = (
    (b"\x1f\x8b", noop("is packed with gzip"), noop("unpack it first")),
    (b"7z\xbc\xaf", noop("is packed in an unusual way"), noop("unpack it first")),
    (b"Rar!", noop("is packed in an unusual way"), noop("unpack it first")),
    (b"SQLite format 3\x00", noop("is a database"), noop("export the layer as GeoJSON")),
    (b"%PDF", noop("is a PDF, which holds a picture of the boundary only"), _REMEDY),
    (b"\x89PNG", noop("is a picture"), _REMEDY),
    (b"\xff\xd8\xff", noop("is a picture"), _REMEDY),
    (b"\xd0\xcf\x11\xe0", noop("is an office document"), _REMEDY),
)
_LONE = (".dbf", ".shx", ".prj", ".cpg", ".sbn", ".qix")
_BOMS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def read_layers(data: bytes, filename: str, tally: Tally) -> list[Layer]:
    """The layers of a file of any of the formats. Raises FileError, quoting the file's name or start."""
    if len(data) > tally.limits.file_bytes:
        raise FileError(
            _("“%(filename)s” has %(data)s MB")
            % {"filename": shown(filename), "data": figure(f"{len(data) / 1000000.0:.1f}")},
            value=len(data),
            remedy=_("give at most %(file_bytes)s MB: keep only the fields you need")
            % {"file_bytes": f"{tally.limits.file_bytes / 1000000.0:.0f}"},
        )
    if not data.strip():
        raise FileError(
            _("“%(filename)s” is empty") % {"filename": shown(filename)}, value=0, remedy=_("export it again")
        )
    if data[:2] == b"PK":
        return _unzipped(data, filename, tally)
    return [_plain(data, filename, tally)]


def _plain(data: bytes, filename: str, tally: Tally) -> Layer:
    for magic, what, remedy in _OTHERS:
        if data.startswith(magic):
            raise FileError(f"“{shown(filename)}” {_(what)}", value=filename, remedy=_(remedy))
    if data.startswith(MAGIC):
        return read_bare_shp(data, tally)
    head = _text(data[:_HEAD]).lstrip("\ufeff \t\r\n\x1e")
    if head.startswith("<"):
        return _xml(data.lstrip(), filename, tally)
    if head.startswith(("{", "[")):
        return read_geojson(data, tally)
    if looks_like_wkt(head):
        return read_wkt(_text(data).lstrip("\ufeff"), tally)
    raise _unknown(head, filename)


def _unknown(head: str, filename: str) -> FileError:
    if filename.lower().endswith(_LONE):
        return FileError(
            _("“%(filename)s” is one part of a shapefile") % {"filename": shown(filename)},
            value=filename,
            remedy=_("zip all of its parts (.shp, .dbf, .prj) and give the zip"),
        )
    start = "".join(c if c.isprintable() else "·" for c in head[:40])
    return FileError(
        _("“%(filename)s” starts with “%(start)s”, which is no map file known here")
        % {"filename": shown(filename), "start": shown(start)},
        value=filename,
        remedy=_(_REMEDY),
    )


def _text(data: bytes) -> str:
    """Text by its byte order mark, else UTF-8 with strangers replaced; half a character at the cut is no
    matter.
    """
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return data.decode(encoding, "replace")
    return data.decode("utf-8", "replace")


def _xml(data: bytes, filename: str, tally: Tally) -> Layer:
    root = root_of(data)
    if root == "kml":
        return read_kml(data, tally)
    if root == "gpx":
        return read_gpx_boundaries(data, tally)
    what = _("is a web page") if root == "html" else _("starts with <%(root)s>") % {"root": shown(root)}
    raise FileError(
        _("“%(filename)s” %(what)s, not a map file") % {"filename": shown(filename), "what": what},
        value=root,
        remedy=_(_REMEDY),
    )


def _unzipped(data: bytes, filename: str, tally: Tally) -> list[Layer]:
    """A shapefile, a KMZ, or one plain file in a zip."""
    archive = Archive(data, tally.limits)
    if archive.names(".shp"):
        return read_shapefiles(archive, tally)
    documents = main_first(archive.names(".kml"))
    if documents:
        return [read_kml(archive.read(name), tally, alone=False) for name in documents]
    plain = archive.names(".geojson", ".json", ".gpx", ".wkt", ".txt")
    if plain:
        if len(plain) > 1:
            tally.note(
                _("Of %(plain)s files in the zip only “%(plain2)s” was read.")
                % {"plain": len(plain), "plain2": shown(plain[0])}
            )
        return [_plain(archive.read(plain[0]), plain[0], tally)]
    nested = archive.nested()
    if nested:
        raise FileError(
            _("The zip holds another packed file (“%(nested)s”)") % {"nested": shown(nested[0])},
            value=nested[0],
            remedy=_("unpack it and give that one"),
        )
    raise FileError(
        _("“%(filename)s” holds no map file") % {"filename": shown(filename)},
        value=filename,
        remedy=_(_REMEDY),
    )
