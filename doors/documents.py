"""The JSON documents of the open interface, each with its links.

Source: OGC 17-069r4, clauses 7.2 (landing page), 7.4 (conformance), 7.13 to 7.16 (collections and features) and 8.3
(GeoJSON); the relation types are those of table 2 and of the IANA registry.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from django.utils.translation import gettext as _

from doors.collections import Collection
from doors.feature import Extent, Feature, Page
from doors.files.shapes import as_geojson
from geo.geojson import DECIMALS
from people.models import User

JSON, GEOJSON, HTML = "application/json", "application/geo+json", "text/html"
OPENAPI = "application/vnd.oai.openapi+json;version=3.0"
CRS84 = "http://www.opengis.net/def/crs/OGC/1.3/CRS84"
GREGORIAN = "http://www.opengis.net/def/uom/ISO-8601/0/Gregorian"
_CONF = "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf"
CONFORMS_TO = [f"{_CONF}/{name}" for name in ("core", "oas30", "html", "geojson")]
Document = dict[str, Any]
NOTHING: Mapping[str, Any] = {}


@dataclass(frozen=True)
class Addresses:
    """Absolute addresses of one request: `to(path, query)` under the landing page, and whether HTML is the answer."""

    to: Callable[[str, Mapping[str, Any]], str]
    is_html: bool

    def link(
        self, rel: str, kind: str, title: str, path: str, query: Mapping[str, Any] = NOTHING
    ) -> Document:
        wanted = {} if kind == OPENAPI else {"f": "html" if kind == HTML else "json"}
        return {"href": self.to(path, {**query, **wanted}), "rel": rel, "type": kind, "title": title}

    def own(self, kind: str, path: str, query: Mapping[str, Any] = NOTHING) -> list[Document]:
        """This document, and the same in the other format."""
        here, other = (HTML, kind) if self.is_html else (kind, HTML)
        return [
            self.link("self", here, _("This document"), path, query),
            self.link("alternate", other, _("The same in another format"), path, query),
        ]


def landing(addresses: Addresses, club: str) -> Document:
    return {
        "title": _("Records of %(club)s") % {"club": club},
        "description": _(
            "Sites, hunts, holes, finds and ground covered, for members of the club and their own programs: each "
            "record and place as its reader may see it."
        ),
        "links": [
            *addresses.own(JSON, ""),
            addresses.link("service-desc", OPENAPI, _("What can be asked, for programs"), "/api"),
            addresses.link("service-doc", HTML, _("What can be asked, for people"), "/api"),
            addresses.link("conformance", JSON, _("What this conforms to"), "/conformance"),
            addresses.link("data", JSON, _("The collections"), "/collections"),
        ],
    }


def conformance(addresses: Addresses) -> Document:
    return {"links": addresses.own(JSON, "/conformance"), "conformsTo": CONFORMS_TO}


def collections(addresses: Addresses, shown: Iterable[Collection], user: User) -> Document:
    listed = [collection(addresses, each, user) for each in shown]
    return {"links": addresses.own(JSON, "/collections"), "collections": listed}


def collection(addresses: Addresses, shown: Collection, user: User) -> Document:
    path, title = f"/collections/{shown.id}", str(shown.title)
    return {
        "id": shown.id,
        "title": title,
        "description": str(shown.description),
        "links": [
            *addresses.own(JSON, path),
            addresses.link("items", GEOJSON, title, f"{path}/items"),
            addresses.link("items", HTML, title, f"{path}/items"),
        ],
        "extent": extent(shown.extent(user)),
        "itemType": "feature",
        "crs": [CRS84],
    }


def extent(shown: Extent) -> Document:
    """Only what there is: a collection without any place has no box, and one without time no interval."""
    said: Document = {}
    if shown.box is not None:
        box = shown.box
        edges = [_down(box.west), _down(box.south), _up(box.east), _up(box.north)]
        said["spatial"] = {"bbox": [edges], "crs": CRS84}
    if shown.first is not None and shown.last is not None:
        said["temporal"] = {"interval": [[moment(shown.first), moment(shown.last)]], "trs": GREGORIAN}
    return said


def items(addresses: Addresses, shown: Collection, page: Page, asked: Document, *, at: datetime) -> Document:
    """`asked`: the parameters of the address, without the format."""
    path = f"/collections/{shown.id}/items"
    kept = {name: value for name, value in asked.items() if name not in {"after", "before"}}
    links = addresses.own(GEOJSON, path, asked)
    here = HTML if addresses.is_html else GEOJSON
    if page.next_after is not None:
        after = {"after": page.next_after}
        links.append(addresses.link("next", here, _("Next page"), path, kept | after))
    if page.previous_before is not None:
        before = {"before": page.previous_before}
        links.append(addresses.link("prev", here, _("Previous page"), path, kept | before))
    links.append(addresses.link("collection", JSON, str(shown.title), f"/collections/{shown.id}"))
    return {
        "type": "FeatureCollection",
        "timeStamp": moment(at),
        **({} if page.matched is None else {"numberMatched": page.matched}),
        "numberReturned": len(page.features),
        "links": links,
        "features": [geojson(each) for each in page.features],
    }


def item(addresses: Addresses, shown: Collection, feature: Feature) -> Document:
    path = f"/collections/{shown.id}"
    collection_link = addresses.link("collection", JSON, str(shown.title), path)
    return geojson(feature) | {
        "links": [*addresses.own(GEOJSON, f"{path}/items/{feature.id}"), collection_link]
    }


def geojson(feature: Feature) -> Document:
    """RFC 7946, section 3.2."""
    return {
        "type": "Feature",
        "id": feature.id,
        "geometry": as_geojson(feature.geometry),
        "properties": {name: plain(value) for name, value in feature.properties.items()},
    }


def plain(value: Any) -> Any:
    """A value as JSON has it."""
    if isinstance(value, datetime):
        return moment(value)
    return value.isoformat() if isinstance(value, date) else value


def moment(value: datetime) -> str:
    """RFC 3339, in UTC."""
    return value.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _down(degrees: float) -> float:
    return float(math.floor(degrees * 10**DECIMALS) / 10**DECIMALS)


def _up(degrees: float) -> float:
    return float(math.ceil(degrees * 10**DECIMALS) / 10**DECIMALS)
