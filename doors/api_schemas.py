"""The parts of the API definition that all operations share: parameters, and schemas of the documents."""

from typing import Any

from django.utils.translation import gettext as _

from doors.asked import FORMATS, INT64, LIMIT, MOST_LIMIT
from doors.documents import CRS84, GREGORIAN
from doors.moments import PATTERN

Document = dict[str, Any]
LINKS = {"type": "array", "items": {"$ref": "#/components/schemas/link"}}
BBOX = {
    "type": "array",
    "oneOf": [{"minItems": 4, "maxItems": 4}, {"minItems": 6, "maxItems": 6}],
    "items": {"type": "number"},
}


def parameters() -> Document:
    """/req/core/fc-limit-definition, fc-bbox-definition and fc-time-definition, and our own: after, before, f."""
    limit = {"type": "integer", "minimum": 1, "maximum": MOST_LIMIT, "default": LIMIT}
    row = {"type": "integer", "format": "int64", "minimum": 0, "maximum": INT64}
    pages = _("From the links next and prev: the features after, or before, the one with this number.")
    return {
        "limit": _query("limit", _("How many features a page holds at most; it may hold fewer."), limit),
        "bbox": _query(
            "bbox",
            _(
                "West, south, east, north in degrees (WGS 84). West is greater than east where the box crosses the "
                "antimeridian. Features without a geometry are in every box; hidden places are where their square is."
            ),
            BBOX,
        ),
        "datetime": _query(
            "datetime",
            _("A moment, or an interval with a slash between its ends; “..” leaves an end open (RFC 3339)."),
            {"type": "string", "pattern": PATTERN},
        ),
        "after": _query("after", pages, row),
        "before": _query("before", pages, row),
        "f": _query("f", _("The format; without it the header Accept decides."), _enum(FORMATS)),
        "featureId": {
            "name": "featureId",
            "in": "path",
            "required": True,
            "description": _("The number of a feature."),
            "schema": {"type": "string", "pattern": "^[0-9]{1,18}$"},
        },
    }


def _query(name: str, words: str, schema: Document) -> Document:
    said = {"name": name, "in": "query", "required": False, "style": "form", "explode": False}
    return said | {"description": words, "schema": schema}


def _enum(choices: Any) -> Document:
    return {"type": "string", "enum": list(choices)}


def _object(required: str, **properties: Any) -> Document:
    needed = {"required": required.split()} if required else {}  # OpenAPI wants at least one name in it
    return {"type": "object", **needed, "properties": properties}


TEXT = {"type": "string"}
_PLACE = {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}}


def _shape(name: str, depth: int) -> Document:
    coordinates: Document = _PLACE
    for _level in range(depth):
        coordinates = {"type": "array", "items": coordinates}
    return _object("type coordinates", type=_enum([name]), coordinates=coordinates)


SCHEMAS: Document = {
    "exception": _object("code", code=TEXT, description=TEXT),
    "link": _object("href rel", href=TEXT, rel=TEXT, type=TEXT, title=TEXT),
    "landingPage": _object("links", title=TEXT, description=TEXT, links=LINKS),
    "confClasses": _object("conformsTo", links=LINKS, conformsTo={"type": "array", "items": TEXT}),
    "collections": _object(
        "links collections",
        links=LINKS,
        collections={"type": "array", "items": {"$ref": "#/components/schemas/collection"}},
    ),
    "collection": _object(
        "id links",
        id=TEXT,
        title=TEXT,
        description=TEXT,
        links=LINKS,
        extent={"$ref": "#/components/schemas/extent"},
        itemType=TEXT,
        crs={"type": "array", "items": TEXT},
    ),
    "extent": _object(
        "",
        spatial=_object("bbox", bbox={"type": "array", "minItems": 1, "items": BBOX}, crs=_enum([CRS84])),
        temporal=_object(
            "interval",
            interval={
                "type": "array",
                "minItems": 1,
                "items": {
                    "type": "array",
                    "minItems": 2,
                    "maxItems": 2,
                    "items": {"type": "string", "format": "date-time", "nullable": True},
                },
            },
            trs=_enum([GREGORIAN]),
        ),
    ),
    "geometry": {
        "nullable": True,
        "type": "object",
        "oneOf": [
            _shape("Point", 0),
            _shape("LineString", 1),
            _shape("MultiLineString", 2),
            _shape("Polygon", 2),
            _shape("MultiPolygon", 3),
        ],
    },
    "featureCollection": _object(
        "type features timeStamp numberReturned links",
        type=_enum(["FeatureCollection"]),
        features={"type": "array", "items": {"type": "object"}},
        links=LINKS,
        timeStamp={"type": "string", "format": "date-time"},
        numberMatched={"type": "integer", "minimum": 0},
        numberReturned={"type": "integer", "minimum": 0},
    ),
}
