"""The same documents as pages: what a template needs to lay them out."""

import json
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from doors.collections import Collection
from doors.feature import Property
from web.templatetags.stubble import at as written_at

Row = dict[str, Any]


def headings(shown: Collection, names: Iterable[str]) -> list[Row]:
    """Name, title and unit of each property."""
    return [{"name": name, "words": _heading(shown.properties[name])} for name in names]


def _heading(kind: Property) -> str:
    return f"{kind.title} ({kind.unit.replace('m2', 'm²')})" if kind.unit else str(kind.title)


def collection_page(shown: Collection) -> Row:
    rows = [
        {"name": name, "words": _heading(kind), "kind": kind, "may_filter": bool(kind.lookup)}
        for name, kind in shown.properties.items()
    ]
    return {"shown": shown, "rows": rows}


def items_page(shown: Collection, document: Mapping[str, Any]) -> Row:
    """A table: a row a feature, a column a property that any of them has."""
    features = document["features"]
    names = [name for name in shown.properties if any(name in each["properties"] for each in features)]
    links = {link["rel"]: link["href"] for link in document["links"]}
    base = links["collection"].partition("?")[0]
    rows = [
        {
            "id": each["id"],
            "url": f"{base}/items/{each['id']}?f=html",
            "cells": _cells(shown, each, names),
            "geometry": geometry_words(each["geometry"]),
        }
        for each in features
    ]
    at = datetime.fromisoformat(document["timeStamp"])
    pages = {"asked_at": at, "next_url": links.get("next"), "previous_url": links.get("prev")}
    return {"shown": shown, "headings": headings(shown, names), "rows": rows, **pages}


def _cells(shown: Collection, feature: Mapping[str, Any], names: Iterable[str]) -> list[Row]:
    said = feature["properties"]
    return [_cell(shown.properties[name], said.get(name)) for name in names]


def _cell(kind: Property, value: Any) -> Row:
    """A moment as people read it, and as the document has it beside."""
    if value and kind.format == "date-time":
        return {"words": _heading(kind), "value": written_at(datetime.fromisoformat(value)), "moment": value}
    return {"words": _heading(kind), "value": value_words(value)}


def item_page(shown: Collection, document: Mapping[str, Any]) -> Row:
    names = [name for name in shown.properties if name in document["properties"]]
    geometry = document["geometry"]
    return {
        "shown": shown,
        "cells": _cells(shown, document, names),
        "geometry": geometry_words(geometry),
        "shape": json.dumps(geometry),
    }


def value_words(value: Any) -> str:
    if value is None or value == "":
        return ""  # an empty cell: the style sheet says how it looks
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    return str(value)


def geometry_words(geometry: Mapping[str, Any] | None) -> str:
    """What kind of shape, and where; a point by its longitude and latitude."""
    if geometry is None:
        return _("none")
    corners = list(_corners(geometry["coordinates"]))
    if geometry["type"] == "Point":
        return f"{geometry['type']} {corners[0][0]}, {corners[0][1]}"
    east, north = [x for x, _y in corners], [y for _x, y in corners]
    return f"{geometry['type']} {min(east)}, {min(north)} – {max(east)}, {max(north)}"


def _corners(parts: Any) -> Iterable[tuple[float, float]]:
    if isinstance(parts[0], int | float):
        yield parts[0], parts[1]
        return
    for part in parts:
        yield from _corners(part)


def operations(document: Mapping[str, Any]) -> list[Row]:
    """The operations of the API definition, each with its parameters."""
    return [
        {"path": path, "summary": said["get"]["summary"], "parameters": _parameters(document, said["get"])}
        for path, said in document["paths"].items()
    ]


def _parameters(document: Mapping[str, Any], operation: Mapping[str, Any]) -> list[Row]:
    shared = document["components"]["parameters"]
    rows = []
    for each in operation["parameters"]:
        said = shared[each["$ref"].rpartition("/")[2]] if "$ref" in each else each
        rows.append({"name": said["name"], "place": said["in"], "words": said["description"]})
    return rows
