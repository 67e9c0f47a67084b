"""The open interface against the standard's own abstract tests.

Source: OGC API - Features - Part 1: Core, 17-069r4 (ISO 19168-1), annex A, read in the standard's repository
(opengeospatial/ogcapi-features, core/standard/abstract_tests); the requirement stands beside each check. Expected
members are written out here from the standard and not taken from the program. GeoJSON: RFC 7946.
"""

import re
from typing import Any

import pytest
from django.test import Client
from django.utils.timezone import now
from shapely.geometry import box, shape

from tests import make
from tests.doors_world import arrange, key_for
from tests.views.world import World, shared_world

pytestmark = [pytest.mark.django_db, pytest.mark.once]
standing_world, world = shared_world(arrange)
COLLECTIONS = ("sites", "hunts", "holes", "finds", "ground-covered")
OPENAPI = "application/vnd.oai.openapi+json;version=3.0"
CONF = "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf/"


class Program:
    """A client with a key, that asks for JSON unless something else is said."""

    def __init__(self, key: str) -> None:
        self.key, self.client = key, Client()

    def ask(self, address: str, accept: str = "*/*", **query: Any) -> Any:
        path = address.removeprefix("http://testserver")
        headers = {"Authorization": f"Bearer {self.key}", "Accept": accept}
        return self.client.get(path, query, headers=headers)

    def get(self, address: str, **query: Any) -> Any:
        answer = self.ask(address, **query)
        assert answer.status_code == 200, answer.text[:300]
        return answer.json()

    def items(self, name: str, **query: Any) -> Any:
        return self.get(f"/open/collections/{name}/items", **query)


@pytest.fixture
def program(world: World) -> Program:
    return Program(key_for(world.committee))


def links(document: Any, rel: str) -> list[Any]:
    return [link for link in document["links"] if link["rel"] == rel]


def test_landing_page(program: Program) -> None:
    """/req/core/root-op, /req/core/root-success: links to the API definition, conformance and data."""
    for address in ("/open", "/open/"):
        said = program.get(address)
        assert links(said, "service-desc")[0]["type"] == OPENAPI
        assert links(said, "service-doc")[0]["type"] == "text/html"
        assert links(said, "conformance")
        assert links(said, "data")
        for link in said["links"]:
            assert program.ask(link["href"]).status_code == 200, link


def test_api_definition(program: Program) -> None:
    """/req/core/api-definition-op and -success; /req/oas30/oas-definition-1: its own media type, by the link."""
    (link,) = links(program.get("/open"), "service-desc")
    answer = program.ask(link["href"], accept=OPENAPI)
    assert answer["Content-Type"] == OPENAPI
    said = answer.json()
    assert said["openapi"].startswith("3.0.")
    # /req/oas30/oas-definition-2: valid OpenAPI 3.0; tests/views/test_open_schemathesis.py has a validator read it.
    # /req/oas30/completeness and /req/oas30/exceptions-codes: every operation, with every status that it answers.
    paths = {"/", "/conformance", "/api", "/collections"}
    for name in COLLECTIONS:
        paths |= {f"/collections/{name}{rest}" for rest in ("", "/items", "/items/{featureId}")}
    assert set(said["paths"]) == paths
    for operations in said["paths"].values():
        assert set(operations) == {"get"}
        assert {"200", "400", "401", "403", "406", "429"} <= set(operations["get"]["responses"])
    # /req/oas30/security: how one gets in is in the definition.
    assert said["components"]["securitySchemes"] == {"key": {"type": "http", "scheme": "bearer"}}
    assert said["security"] == [{"key": []}]


def test_parameters_in_the_definition(program: Program) -> None:
    """/req/core/fc-limit-definition, fc-bbox-definition, fc-time-definition: as the standard's fragments have them."""
    parameters = program.get("/open/api")["components"]["parameters"]
    limit, bbox, moment = parameters["limit"], parameters["bbox"], parameters["datetime"]
    for said in (limit, bbox, moment):
        assert (said["in"], said["required"], said["style"], said["explode"]) == (
            "query",
            False,
            "form",
            False,
        )
    assert limit["schema"] == {"type": "integer", "minimum": 1, "maximum": 1000, "default": 100}
    assert bbox["schema"] == {
        "type": "array",
        "oneOf": [{"minItems": 4, "maxItems": 4}, {"minItems": 6, "maxItems": 6}],
        "items": {"type": "number"},
    }
    assert moment["schema"]["type"] == "string"


def test_conformance_page(program: Program) -> None:
    """/req/core/conformance-op and -success: each class that is claimed; every one of them is tested in this file."""
    claimed = program.get(links(program.get("/open"), "conformance")[0]["href"])["conformsTo"]
    assert sorted(claimed) == [CONF + name for name in ("core", "geojson", "html", "oas30")]


def test_collections_page(program: Program) -> None:
    """/req/core/fc-md-op, fc-md-success, fc-md-links, fc-md-items, fc-md-items-links; sfc-md-op, sfc-md-success."""
    said = program.get("/open/collections")
    assert links(said, "self")[0]["type"] == "application/json"
    assert links(said, "alternate")[0]["type"] == "text/html"
    assert [each["id"] for each in said["collections"]] == list(COLLECTIONS)
    for each in said["collections"]:
        kinds = {link["type"] for link in links(each, "items")}
        assert kinds == {"application/geo+json", "text/html"}
        assert all({"rel", "type"} <= link.keys() for link in each["links"])
        assert "http://www.opengis.net/def/crs/OGC/1.3/CRS84" in each["crs"]
        alone = program.get(f"/open/collections/{each['id']}")
        # /req/core/sfc-md-success: the same content as in the list.
        assert {k: v for k, v in alone.items() if k != "links"} == {
            k: v for k, v in each.items() if k != "links"
        }


@pytest.mark.parametrize("name", COLLECTIONS)
def test_extent_holds_every_feature(name: str, program: Program) -> None:
    """/req/core/fc-md-extent: the box includes all geometries, the interval all times."""
    said = program.get(f"/open/collections/{name}")["extent"]
    shapes = [
        shape(each["geometry"]) for each in program.items(name, limit=1000)["features"] if each["geometry"]
    ]
    assert shapes
    ((west, south, east, north),) = said["spatial"]["bbox"]
    assert all(box(west, south, east, north).covers(each) for each in shapes)
    moments = [
        each["properties"].get("found_at") or each["properties"].get("dug_at")
        for each in program.items(name, limit=1000)["features"]
    ]
    for moment in filter(None, moments):
        ((first, last),) = said["temporal"]["interval"]
        assert first <= moment <= last


@pytest.mark.parametrize("name", COLLECTIONS)
def test_features_of_a_collection(name: str, program: Program) -> None:
    """/req/core/fc-op, fc-response, fc-links, fc-rel-type, fc-timeStamp, fc-numberMatched, fc-numberReturned;
    /req/geojson/content: RFC 7946 with links and these members beside."""
    answer = program.ask(f"/open/collections/{name}/items")
    assert answer["Content-Type"] == "application/geo+json"
    said = answer.json()
    assert said["type"] == "FeatureCollection"
    assert links(said, "self")[0]["type"] == "application/geo+json"
    assert links(said, "alternate")[0]["type"] == "text/html"
    assert all({"rel", "type"} <= link.keys() for link in said["links"])
    assert said["timeStamp"].endswith("Z")
    assert said["numberReturned"] == len(said["features"])
    assert said["numberMatched"] == len(program.items(name, limit=1000)["features"])
    for each in said["features"]:
        assert each["type"] == "Feature"
        assert {"id", "geometry", "properties"} <= each.keys()


@pytest.mark.parametrize("name", COLLECTIONS)
def test_one_feature(name: str, program: Program) -> None:
    """/req/core/f-op, f-success, f-links: each id is a feature with the links self, alternate and collection."""
    for each in program.items(name, limit=5)["features"]:
        said = program.get(f"/open/collections/{name}/items/{each['id']}")
        assert {k: v for k, v in said.items() if k != "links"} == each
        assert links(said, "self")[0]["href"].partition("?")[0].endswith(f"/{name}/items/{each['id']}")
        assert links(said, "alternate")[0]["type"] == "text/html"
        assert program.get(links(said, "collection")[0]["href"])["id"] == name


def test_limit(program: Program) -> None:
    """/req/core/fc-limit-response-1: no more than asked for; /rec/core/fc-next-1 to -3, fc-prev: links to the rest."""
    read: list[str] = []
    said = program.items("finds", limit=4)
    assert links(said, "prev") == []
    while True:
        assert len(said["features"]) <= 4
        read += [each["id"] for each in said["features"]]
        if not links(said, "next"):
            break
        before = said
        said = program.get(links(said, "next")[0]["href"])
        assert program.get(links(said, "prev")[0]["href"])["features"] == before["features"]
    assert read == [each["id"] for each in program.items("finds", limit=1000)["features"]]


def test_bbox(program: Program) -> None:
    """/req/core/fc-bbox-response, with four and with six numbers, and over the antimeridian (7.15.3)."""
    everything = program.items("sites", limit=1000)["features"]
    inside = program.items("sites", bbox="0.1,53.5,0.2,53.7")["features"]
    assert inside == everything == program.items("sites", bbox="0.1,53.5,-10,0.2,53.7,90")["features"]
    elsewhere = program.items("sites", bbox="10,10,11,11")["features"]
    assert [each["properties"]["code"] for each in elsewhere] == [
        "NOWHERE"
    ]  # C: who has no geometry matches any box
    assert program.items("sites", bbox="179,-20,-179,60")["features"] == elsewhere


def test_datetime(program: Program, world: World) -> None:
    """/req/core/fc-time-response: moments, intervals, half-bounded ones; C: without a time, every one matches."""
    old = make.find(world.hunt, world.leader, found_at=make.moment(2019, 5, 4))
    for asked in (
        "2019-05-04T12:00:00Z",
        "2019-05-04T00:00:00Z/2019-05-05T00:00:00Z",
        "../2020-01-01T00:00:00Z",
        "/2020-01-01T00:00:00Z",
        "2019-05-04T11:00:00Z/2019-05-04T12:00:00Z",
    ):
        found = [each["id"] for each in program.items("finds", datetime=asked)["features"]]
        assert found == [str(old.pk)], asked
    later = [
        each["id"]
        for each in program.items("finds", datetime="2020-01-01T00:00:00Z/..", limit=1000)["features"]
    ]
    assert str(old.pk) not in later
    assert len(later) + 1 == program.items("finds")["numberMatched"]
    on = program.items("hunts", datetime="2014-10-05T12:00:00Z")["features"]
    assert [each["properties"]["on"] for each in on] == ["2014-10-05"]
    assert (
        program.items("sites", datetime="1900-01-01T00:00:00Z")["numberMatched"]
        == program.items("sites")["numberMatched"]
    )


def test_filters(program: Program) -> None:
    """/rec/core/fc-filters: a parameter for properties of the features."""
    found = program.items("finds", object_type="buckle", locked="false")["features"]
    assert len(found) == 6
    assert {each["properties"]["object_type"] for each in found} == {"buckle"}
    assert program.items("finds", object_type="buckle' OR 1=1")["numberMatched"] == 0


UNKNOWN = [
    ("/open", "name=x"),
    ("/open/conformance", "q=1"),
    ("/open/api", "version=2"),
    ("/open/collections", "limit=3"),
    ("/open/collections/finds", "bbox=1,1,2,2"),
    ("/open/collections/finds/items", "description=gold"),
    ("/open/collections/finds/items", "lat=53.6"),
    ("/open/collections/finds/items", "token=abc"),
]
INVALID = [
    "limit=0", "limit=1001", "limit=ten", "limit=1&limit=2", "limit=", "limit=1_0", "limit=٣",
    "bbox=1,2,3", "bbox=1,2,3,4,5", "bbox=a,b,c,d", "bbox=1,2,3,NaN", "bbox=0,91,1,92", "bbox=181,0,182,1",
    "bbox=0,10,1,5", "bbox=0,0,9,1,1,3", "bbox=0,0,1,1e999", "datetime=yesterday", "datetime=2026-02-30T00:00:00Z",
    "datetime=2026-03-02T00:00:00Z/2026-03-01T00:00:00Z", "year_from=MCCV", "locked=maybe", "is_coin=perhaps", "f=xml",
    "count=99999999999", "after=-1", "before=99999999999999999999",
]  # fmt: skip


@pytest.mark.parametrize(("address", "query"), UNKNOWN)
def test_unknown_parameters_are_refused(address: str, query: str, program: Program) -> None:
    """/req/core/query-param-unknown: 400."""
    answer = program.ask(f"{address}?{query}")
    assert answer.status_code == 400
    assert answer.json()["code"] == "InvalidParameterValue"
    assert query.partition("=")[0] in answer.json()["description"]


@pytest.mark.parametrize("query", INVALID)
def test_wrong_values_are_refused(query: str, program: Program) -> None:
    """/req/core/query-param-invalid: 400, with what is wrong in words."""
    answer = program.ask(f"/open/collections/finds/items?{query}")
    assert answer.status_code == 400
    assert query.partition("=")[0] in answer.json()["description"]


def test_http(program: Program) -> None:
    """/req/core/http: what the protocol has a status for gets it."""
    asked = {"Authorization": f"Bearer {program.key}"}
    for verb in ("post", "put", "patch", "delete", "options", "trace"):
        answer = getattr(program.client, verb)("/open/collections", headers=asked)
        assert answer.status_code == 405, verb
        assert "GET" in answer["Allow"]
    head = program.client.head("/open/collections", headers=asked)
    assert (head.status_code, head.content) == (200, b"")
    for address in (
        "/open/collections/coins",
        "/open/collections/finds/items/0",
        "/open/collections/finds/items/x",
    ):
        answer = program.ask(address)
        assert (answer.status_code, answer.json()["code"]) == (404, "NotFound")
    assert program.ask("/open", accept="image/png").status_code == 406


@pytest.mark.parametrize("name", COLLECTIONS)
def test_geojson_of_rfc_7946(name: str, program: Program) -> None:
    """/req/geojson/definition, /req/geojson/content; /req/core/crs84. RFC 7946: 3.1.6 closed rings, exterior
    counter-clockwise; 4 no crs member; 11.2 seven decimals at most."""
    said = program.items(name, limit=1000)
    assert "crs" not in said
    for each in said["features"]:
        if each["geometry"] is None:
            continue
        figure = shape(each["geometry"])
        assert figure.is_valid
        assert all(
            -1 < x < 1 and 53 < y < 54 and (round(x, 7), round(y, 7)) == (x, y) for x, y in corners(each)
        )
        for part in getattr(figure, "geoms", [figure]):
            assert part.geom_type == "Point" or part.exterior.is_ccw


def corners(feature: Any) -> list[tuple[float, float]]:
    def walk(parts: Any) -> Any:
        if isinstance(parts[0], float):
            yield tuple(parts)
            return
        for part in parts:
            yield from walk(part)

    return list(walk(feature["geometry"]["coordinates"]))


def test_html(program: Program) -> None:
    """/req/html/definition, /req/html/content: every 200 also as HTML, with all it holds in the body, links as <a>."""
    first = program.items("finds", limit=1)["features"][0]["id"]
    addresses = ["/open", "/open/conformance", "/open/api", "/open/collections", "/open/collections/finds",
                 "/open/collections/finds/items", f"/open/collections/finds/items/{first}"]  # fmt: skip
    for address in addresses:
        by_header, by_name = program.ask(address, accept="text/html"), program.ask(address, f="html")
        assert by_header["Content-Type"] == by_name["Content-Type"] == "text/html; charset=utf-8"
        assert by_header.text.startswith("<!doctype html>")
        said = program.get(address, f="json")
        hrefs = {href.partition("?")[0] for href in re.findall(r'<a href="([^"]+)"', by_name.text)}
        for link in said.get("links", []):
            assert link["href"].partition("?")[0] in hrefs, (address, link)
    page = program.ask(f"/open/collections/finds/items/{first}", f="html").text
    for value in program.get(f"/open/collections/finds/items/{first}")["properties"].values():
        assert value in (None, "", True, False) or str(value) in page, value


def test_pages_stay_while_finds_are_added(program: Program, world: World) -> None:
    """No requirement: what 7.15.2 leaves to the server. Nobody reads a feature twice or misses one."""
    said = program.items("finds", limit=3)
    rest = program.get(links(said, "next")[0]["href"])["features"]
    make.find(world.hunt, world.leader, found_at=now())
    assert program.get(links(said, "next")[0]["href"])["features"] == rest
