"""The API definition: OpenAPI 3.0, every operation written out, so that programs see each collection's properties.

Source: OGC 17-069r4, clause 9 (/req/oas30/…) and the building blocks that it publishes; OpenAPI Specification 3.0.3.
Shared parts are in doors/api_schemas.py.
"""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext as _

from doors.api_schemas import SCHEMAS, parameters
from doors.asked import INT32
from doors.collections import COLLECTIONS, Collection
from doors.documents import GEOJSON, HTML, JSON, OPENAPI
from doors.feature import Property

Document = dict[str, Any]


def api_document(root: str, club: str) -> Document:
    """The whole definition. `root` is the absolute address of the landing page."""
    return {
        "openapi": "3.0.3",
        "info": {
            "title": _("Records of %(club)s") % {"club": club},
            "version": "1.0.0",
            "description": _(
                "OGC API - Features, Part 1: Core. Read only. Rows and precision of places follow the rights that the "
                "key’s owner has today; places of locked finds are never given."
            ),
        },
        "servers": [{"url": root}],
        "security": [{"key": []}],
        "paths": _about() | dict(part for each in COLLECTIONS.values() for part in _data(each)),
        "components": {
            "parameters": parameters(),
            "schemas": SCHEMAS | dict(part for each in COLLECTIONS.values() for part in _schemas(each)),
            "responses": _errors(),
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}},
        },
    }


def _about() -> Document:
    return {
        "/": _operation("landing", _("Landing page"), JSON, "landingPage"),
        "/conformance": _operation("conformance", _("What this conforms to"), JSON, "confClasses"),
        "/api": _operation("api", _("This definition"), OPENAPI, "object"),
        "/collections": _operation("collections", _("The collections"), JSON, "collections"),
    }


def _data(shown: Collection) -> Iterator[tuple[str, Document]]:
    path, title, name = f"/collections/{shown.id}", str(shown.title), _name(shown)
    yield path, _operation(f"describe{name}", title, JSON, "collection", missing=True)
    query = [_ref("parameters", each) for each in ("limit", "bbox", "datetime", "after", "before")]
    query += [_filter(key, kind) for key, kind in shown.properties.items() if kind.lookup]
    words = _("Features of %(title)s") % {"title": title}
    yield f"{path}/items", _operation(f"get{name}", words, GEOJSON, f"page{name}", *query, missing=True)
    words = _("One feature of %(title)s") % {"title": title}
    number = _ref("parameters", "featureId")
    yield (
        f"{path}/items/{{featureId}}",
        _operation(f"get{name}Feature", words, GEOJSON, f"feature{name}", number, missing=True),
    )


def _operation(
    name: str, summary: str, kind: str, schema: str, *query: Document, missing: bool = False
) -> Document:
    errors = ("400", "401", "403", *(["404"] if missing else []), "406", "429")
    answer = {"type": "object"} if schema == "object" else _ref("schemas", schema)
    content = {kind: {"schema": answer}, HTML: {"schema": {"type": "string"}}}
    return {
        "get": {
            "operationId": name,
            "summary": summary,
            "parameters": [*query, _ref("parameters", "f")],
            "responses": {"200": {"description": summary, "content": content}}
            | {code: _ref("responses", f"error{code}") for code in errors},
        }
    }


def _errors() -> Document:
    """What /req/oas30/exceptions-codes asks for: every status that an operation answers is written down."""
    words = {
        "400": _("The address asks for something that is unknown or wrong; the sentence names it."),
        "401": _("There is no key, or it opens nothing."),
        "403": _("The account has no current membership."),
        "404": _("There is no such collection or feature for this reader."),
        "406": _("Neither JSON nor HTML is accepted."),
        "429": _("Asked too often; the header Retry-After says how long to wait."),
    }
    content = {JSON: {"schema": _ref("schemas", "exception")}, HTML: {"schema": {"type": "string"}}}
    return {f"error{code}": {"description": said, "content": content} for code, said in words.items()}


def _ref(part: str, name: str) -> Document:
    return {"$ref": f"#/components/{part}/{name}"}


def _name(shown: Collection) -> str:
    return "".join(word.capitalize() for word in shown.id.split("-"))


def _filter(name: str, kind: Property) -> Document:
    """/rec/core/fc-filters: a parameter for each property that a reader may narrow by."""
    words = _("Only features whose %(title)s is this.") % {"title": kind.title}
    said = {"name": name, "in": "query", "required": False, "style": "form", "explode": False}
    return said | {"description": words, "schema": _kind(kind)}


def _kind(kind: Property, *, nullable: bool = False) -> Document:
    said: Document = {"type": kind.type}
    if kind.format:
        said["format"] = kind.format
    if kind.choices:
        said["enum"] = [*kind.choices, *([None] if nullable else [])]
    if kind.type == "integer":
        said |= {"minimum": -INT32, "maximum": INT32}
    return said | ({"nullable": True} if nullable else {})


def _schemas(shown: Collection) -> Iterator[tuple[str, Document]]:
    """The schemas of one collection: a page, and a feature with its properties, each described."""
    feature = {
        "type": "object",
        "required": ["type", "id", "geometry", "properties"],
        "properties": {
            "type": {"type": "string", "enum": ["Feature"]},
            "id": {"type": "string"},
            "geometry": _ref("schemas", "geometry"),
            "properties": _properties(shown),
            "links": {"type": "array", "items": _ref("schemas", "link")},
        },
    }
    yield f"feature{_name(shown)}", feature
    features = {"type": "array", "items": _ref("schemas", f"feature{_name(shown)}")}
    page = _ref("schemas", "featureCollection")
    yield f"page{_name(shown)}", {"allOf": [page, {"type": "object", "properties": {"features": features}}]}


def _properties(shown: Collection) -> Document:
    described = {
        name: _kind(kind, nullable=True) | {"title": str(kind.title), "description": _words(kind)}
        for name, kind in shown.properties.items()
    }
    required = [name for name in shown.properties if name != "landholders"]  # left out for most readers
    return {
        "type": "object",
        "required": required,
        "properties": described,
        "additionalProperties": False,
    }


def _words(kind: Property) -> str:
    return " ".join(part for part in (str(kind.description), f"[{kind.unit}]" if kind.unit else "") if part)
