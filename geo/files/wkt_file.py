"""Well-known text (OGC 06-103r4, section 7) with or without an SRID in front, one shape or many."""

import re
from collections.abc import Iterator

import shapely

from geo.errors import shown
from geo.files.model import FileError, Layer, RawShape, Tally
from tongue import all_of, noop
from tongue import say as _

_KINDS = "POINT|LINESTRING|LINEARRING|POLYGON|MULTIPOINT|MULTILINESTRING|MULTIPOLYGON|GEOMETRYCOLLECTION"
_OTHERS = "CIRCULARSTRING|COMPOUNDCURVE|CURVEPOLYGON|MULTICURVE|MULTISURFACE|POLYHEDRALSURFACE|TIN|TRIANGLE"
_START = re.compile(
    rf"\s*(?:SRID\s*=\s*(\d{{1,6}})\s*;\s*)?({_KINDS}|{_OTHERS})\b\s*(?:ZM|Z|M)?\s*", re.IGNORECASE
)
_LOOKS = re.compile(
    rf"\s*(?:SRID\s*=\s*\d+\s*;)?\s*(?:{_KINDS}|{_OTHERS})\s*(?:ZM|Z|M)?\s*(?:\(|EMPTY)", re.IGNORECASE
)
_PAREN = re.compile(r"[()]")
_MAX_DEPTH = 16
_REMEDY = noop("give text such as POLYGON ((0.21 53.71, 0.22 53.71, 0.22 53.72, 0.21 53.71))")


def looks_like_wkt(head: str) -> bool:
    """True if the text starts as WKT or EWKT does."""
    return _LOOKS.match(head) is not None


def read_wkt(text: str, tally: Tally) -> Layer:
    """Every shape in the text, with or without commas, semicolons or line ends between.

    Raises FileError for anything else in it, for curves, and for two different SRIDs.
    """
    shapes: list[RawShape] = []
    systems: set[str] = set()
    for srid, piece in _pieces(text):
        tally.add_points(piece.count(",") + 1)
        number = tally.add_shape()
        shapes.append(RawShape(_("Shape %(number)s") % {"number": number}, _geometry(piece, tally), {}))
        systems.update({srid} if srid else ())
    if len(systems) > 1:
        raise FileError(
            _("The text has shapes in SRID %(sorted)s") % {"sorted": all_of(sorted(systems))},
            value=sorted(systems),
            remedy=_("give those of one system at a time"),
        )
    return Layer("WKT", f"EPSG:{systems.pop()}" if systems else None, shapes)


def _pieces(text: str) -> Iterator[tuple[str, str]]:
    """Pairs of SRID and WKT, cut where the brackets close."""
    at = 0
    while at < len(text):
        start = _START.match(text, at)
        if start is None:
            rest = text[at : at + 200].strip(" \t\r\n;,\x00")
            if rest:
                raise FileError(
                    _("“%(rest)s” is not WKT") % {"rest": shown(rest)}, value=shown(rest), remedy=_(_REMEDY)
                )
            at += 200
            continue
        if start[2].upper() in _OTHERS.split("|"):
            raise FileError(
                _("%(upper)s has curves or surfaces that cannot be read") % {"upper": start[2].upper()},
                value=start[2],
                remedy=_("export it with straight lines, as POLYGON"),
            )
        end = _end(text, start.end())
        yield start[1] or "", text[start.start(2) : end]
        at = _skip(text, end)


def _skip(text: str, at: int) -> int:
    while at < len(text) and text[at] in " \t\r\n;,":
        at += 1
    return at


def _end(text: str, at: int) -> int:
    """Just past the bracket that closes the shape. The depth is bounded, for GEOS reads by recursion."""
    if text[at : at + 5].upper() == "EMPTY":
        return at + 5
    depth = 0
    for bracket in _PAREN.finditer(text, at):
        depth += 1 if bracket[0] == "(" else -1
        if depth > _MAX_DEPTH:
            raise FileError(
                _("The text nests brackets more than %(max_depth)s deep") % {"max_depth": _MAX_DEPTH},
                value=depth,
                remedy=_(_REMEDY),
            )
        if depth <= 0:
            return bracket.end()
    raise FileError(
        _("The text breaks off before its last bracket"), value=shown(text[-40:]), remedy=_(_REMEDY)
    )


def _geometry(piece: str, tally: Tally) -> shapely.Geometry:
    try:
        shape = shapely.from_wkt(piece)
    except (ValueError, shapely.errors.ShapelyError) as error:
        said = shown(str(error).partition(":")[2].strip() or str(error))
        raise FileError(
            _("The text cannot be read as WKT (%(said)s)") % {"said": said},
            value=shown(piece),
            remedy=_(_REMEDY),
        ) from error
    if shape.has_z:
        tally.note(_("Heights were left out."))
    return shapely.force_2d(shape)
