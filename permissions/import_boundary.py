"""The boundary in one cell of a table: corners, GeoJSON or WKT, or the words that there is none yet."""

from django.utils.translation import gettext as _

from geo.areas import Country
from geo.files import CrsUnknownError, read_boundaries
from geo.files.wkt_file import looks_like_wkt
from geo.polygon import CheckedBoundary, check_boundary
from permissions.boundary_text import read_boundary
from web.tables.errors import CellError

NONE_YET = {
    "",
    "-",
    "–",
    "none",
    "no",
    "no boundary",
    "no boundary yet",
    "not yet",
    "geen",
    "nog geen",
    "nvt",
}


def boundary_in(text: str, country: Country, *, system: str = "") -> CheckedBoundary | None:
    """The checked boundary, or None where the cell says that there is none yet.

    `system` is what the numbers of WKT without an SRID are ("EPSG:27700"). Raises GeoError, or CellError for a single
    place and for WKT whose numbers nobody explained.
    """
    if text.strip().casefold() in NONE_YET:
        return None
    if looks_like_wkt(text[:200]):
        return _from_wkt(text, system)
    if text.startswith(("{", "[")):
        return read_boundary(text, country=country)
    corners = [part.strip() for part in text.replace(";", "\n").splitlines() if part.strip()]
    if len(corners) == 1:
        raise CellError(
            _("“%(text)s” is one place and no outline") % {"text": text[:60]},
            _("give three corners or more with semicolons between, give it as the way in, or leave it empty and draw "
              "the boundary later"),
        )  # fmt: skip
    return read_boundary("\n".join(corners), country=country)


def _from_wkt(text: str, system: str) -> CheckedBoundary:
    told = text.lstrip().upper().startswith("SRID")
    try:
        read = read_boundaries(text.encode(), "WKT", crs=None if told else system or None)
    except CrsUnknownError as error:
        raise CellError(
            error.what,
            _("say below the columns what such numbers are, or write the SRID before the text"),
        ) from error
    parts = [shape.geometry for shape in read.shapes]
    if len(parts) == 1:
        return check_boundary(parts[0])
    polygons = [polygon for part in parts for polygon in _polygons(part)]
    return check_boundary({"type": "MultiPolygon", "coordinates": polygons})


def _polygons(part: dict[str, object]) -> list[object]:
    coordinates = part["coordinates"]
    if part["type"] == "MultiPolygon" and isinstance(coordinates, list):
        return coordinates
    return [coordinates]
