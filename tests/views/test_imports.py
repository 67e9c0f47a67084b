"""Boundaries out of a file: looked at on the map, then saved all or none, once."""

import json
import time
from collections.abc import Callable
from io import BytesIO
from math import cos, pi, sin
from pathlib import Path
from typing import Any
from uuid import uuid4
from zipfile import ZipFile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from people.models import AuditEntry, User
from people.rights import Role
from permissions.models import Boundary, ImportDraft, Site
from tests import make

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def client(client_of: ClientOf, secretary: User) -> Client:
    make.club()
    return client_of(secretary)


def square(west: float, width: float = 0.003) -> dict[str, Any]:
    east = west + width
    ring = [[west, 53.6], [east, 53.6], [east, 53.6018], [west, 53.6018], [west, 53.6]]
    return {"type": "Polygon", "coordinates": [ring]}


def farm(*shapes: tuple[str, dict[str, Any]]) -> bytes:
    features = [{"type": "Feature", "properties": {"name": n}, "geometry": g} for n, g in shapes]
    return json.dumps({"type": "FeatureCollection", "features": features}).encode()


TWO = farm(("Long Lands", square(0.16)), ("SF09", square(0.17)))


def send(client: Client, data: bytes, name: str = "farm.geojson", **fields: Any) -> Any:
    values = {"file": SimpleUploadedFile(name, data), "client_id": uuid4(), "crs": ""} | fields
    return client.post(reverse("permissions:import_sites"), values)


def preview(client: Client, data: bytes, name: str = "farm.geojson", **fields: Any) -> tuple[str, str]:
    """The address of the preview and the page."""
    response = send(client, data, name, **fields)
    assert response.status_code == 302, response.content.decode()
    return response.url, client.get(response.url).content.decode()


def chosen(*rows: dict[str, str], **whole: str) -> dict[str, str]:
    values = {"jurisdiction": "england", "holding": ""} | whole
    for number, row in enumerate(rows):
        values |= {f"s{number}-{name}": value for name, value in row.items()}
    return values


NEW = {"what": "new", "code": "LL01", "name": "Long Lands", "holding": ""}
SKIP = {"what": "skip", "code": "", "name": "", "holding": ""}


def test_the_shapes_are_shown_before_anything_is_saved(client: Client) -> None:
    _, html = preview(client, TWO)
    assert "1. Long Lands" in html
    assert '"kind": "drawn"' in html
    assert 'value="LL01"' in html  # initials and a number
    assert 'value="SF09"' in html  # a name that is a code
    assert not Site.objects.exists()


def test_what_is_chosen_becomes_sites_with_their_boundary_and_farm(client: Client) -> None:
    address, _ = preview(client, TWO)
    other = NEW | {"code": "SF09", "name": "Warp Close", "holding": "Warp Farm"}
    response = client.post(address, chosen(NEW, other, holding="Saltmere Farm"))
    assert response.status_code == 302
    assert [(s.code, s.holding) for s in Site.objects.all()] == [
        ("LL01", "Saltmere Farm"),
        ("SF09", "Warp Farm"),
    ]
    assert {line.source for line in Boundary.objects.all()} == {"read from farm.geojson"}
    assert AuditEntry.objects.get(verb="import.save").changes["sites"] == ["LL01", "SF09"]


def test_saving_twice_makes_the_sites_once(client: Client) -> None:
    address, _ = preview(client, TWO)
    for _ in range(2):
        assert client.post(address, chosen(NEW, SKIP)).status_code == 302
    assert Site.objects.count() == Boundary.objects.count() == 1


def test_sending_the_same_form_twice_keeps_one_file(client: Client) -> None:
    key = uuid4()
    assert send(client, TWO, client_id=key).url == send(client, TWO, client_id=key).url
    assert ImportDraft.objects.count() == 1


def test_one_bad_row_saves_none_and_keeps_what_was_typed(client: Client) -> None:
    make.site(code="SF09", name="Warp Close")
    address, _ = preview(client, TWO)
    html = client.post(address, chosen(NEW, NEW | {"code": "sf09"})).content.decode()
    assert "“SF09” is the code of Warp Close already" in html
    assert 'value="LL01"' in html
    assert Site.objects.count() == 1


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ((SKIP, SKIP), "Every shape is left out"),
        ((NEW, NEW), "“LL01” is the code of shape 1 already"),
        ((NEW | {"code": ""}, SKIP), "Give the new site a short code"),
        ((NEW | {"name": " "}, SKIP), "Give the field&#x27;s name"),
        ((NEW | {"what": "redraw", "code": "XX1"}, SKIP), "No site has the code “XX1”"),
        ((NEW | {"what": "eat"}, SKIP), "eat"),
    ],
)
def test_a_choice_that_cannot_be_is_said(client: Client, rows: Any, words: str) -> None:
    address, _ = preview(client, TWO)
    response = client.post(address, chosen(*rows))
    assert response.status_code == 200
    assert words in response.content.decode()
    assert not Site.objects.exists()


def test_a_shape_redraws_the_site_it_lies_on_and_the_old_line_is_kept(
    client: Client, secretary: User
) -> None:
    site = make.site(code="SF04", name="Saltmere Forty", by=secretary)
    address, html = preview(client, farm(("Forty", square(0.1501))))
    assert "It shares 3.85 ha with SF04 Saltmere Forty." in html  # 0.0029 of 0.0030 degrees of 3.98 ha
    assert '<option value="redraw" selected>' in html
    client.post(address, chosen(NEW | {"what": "redraw", "code": "SF04"}))
    assert site.boundaries.count() == 2
    site.refresh_from_db()
    assert site.min_lon == pytest.approx(0.1501)


def test_shapes_that_lie_on_each_other_are_named(client: Client) -> None:
    _, html = preview(client, farm(("A", square(0.16)), ("B", square(0.161))))
    assert "with shape 2 of this file" in html
    assert "with shape 1 of this file" in html


def test_what_was_mended_is_said_in_words(client: Client) -> None:
    ring = [[0.15, 53.6], [0.153, 53.6018], [0.153, 53.6], [0.15, 53.6018], [0.15, 53.6]]
    _, html = preview(client, farm(("Bow", {"type": "Polygon", "coordinates": [ring]})))
    assert "The line crossed or touched itself and was mended." in html


def test_numbers_without_a_system_are_asked_about_and_read_as_answered(client: Client) -> None:
    text = b"POLYGON((542400 412300, 542600 412300, 542600 412500, 542400 412500, 542400 412300))"
    address, html = preview(client, text, "field.wkt")
    assert address.endswith("/system/")
    assert "British National Grid: near 53.5" in html
    assert client.post(address, {"crs": "", "other": ""}).status_code == 200
    assert "not a coordinate system" in client.post(address, {"other": "my grid"}).content.decode()
    response = client.post(address, {"crs": "EPSG:27700", "other": ""})
    assert "British National Grid (EPSG:27700), as you answered" in client.get(response.url).content.decode()
    draft = ImportDraft.objects.get()
    assert draft.raw is None
    # A square of 200 m on the grid, whose scale there is within 0.1 % of the ground's.
    assert draft.shapes[0]["area_m2"] == pytest.approx(40_000, rel=0.002)


def test_a_boundary_far_from_the_club_is_doubted(client: Client) -> None:
    far = {"type": "Polygon", "coordinates": [[[-5.6, 50.1], [-5.59, 50.1], [-5.59, 50.11], [-5.6, 50.1]]]}
    _, html = preview(client, farm(("Far", far)))
    assert "km from the club" in html


def zipped(name: str, data: bytes) -> bytes:
    out = BytesIO()
    with ZipFile(out, "w", 8) as archive:
        archive.writestr(name, data)
    return out.getvalue()


BOMB = b'<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><kml>&b;</kml>'


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty.geojson", b" "),
        ("photo.jpg", b"\xff\xd8\xff\xe0 not a map"),
        ("half.geojson", b'{"type": "Feature'),
        ("bomb.kml", BOMB),
        ("bomb.kmz", zipped("doc.kml", BOMB)),
        ("big.kmz", zipped("doc.kml", b"<kml>" + b" " * 60_000_000)),
        ("point.geojson", farm(("Oak", {"type": "Point", "coordinates": [0.1, 53.6]}))),
        ("flat.geojson", farm(("Flat", {"type": "Polygon", "coordinates": [[[0.1, 53.6]] * 4]}))),
        ("many.geojson", farm(*((f"F{n}", square(n / 100)) for n in range(201)))),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_file_that_cannot_be_used_gets_a_message(client: Client, name: str, data: bytes) -> None:
    response = send(client, data, name)
    html = response.content.decode() if response.status_code == 200 else ""
    assert "error-summary" in html
    assert not ImportDraft.objects.exists()


def test_a_file_that_is_too_large_is_refused_by_its_size(client: Client) -> None:
    html = send(client, b"{" + b" " * 20_000_001).content.decode()
    assert "20.0 MB; give at most 20.0 MB" in html


def test_another_secretary_does_not_see_the_file(client: Client, client_of: ClientOf) -> None:
    address, _ = preview(client, TWO)
    assert client_of(make.person(Role.SECRETARY)).get(address).status_code == 404


def test_an_expired_file_is_gone_and_forgotten_with_the_next(client: Client) -> None:
    address, _ = preview(client, TWO)
    ImportDraft.objects.update(expires_at=now())
    assert client.get(address).status_code == 404
    preview(client, TWO)
    assert ImportDraft.objects.count() == 1


def test_a_file_thrown_away_leaves_nothing(client: Client) -> None:
    address, _ = preview(client, TWO)
    client.post(reverse("permissions:import_discard", args=[ImportDraft.objects.get().pk]))
    assert client.get(address).status_code == 404
    assert not Site.objects.exists()


def test_ten_thousand_points_are_ready_to_look_at_within_a_second(client: Client) -> None:
    turns = [2 * pi * n / 10_000 for n in range(10_000)]
    ring = [[0.15 + 0.002 * cos(t), 53.6 + 0.0012 * sin(t)] for t in turns]
    data = farm(("Round", {"type": "Polygon", "coordinates": [[*ring, ring[0]]]}))
    preview(client, TWO)  # the libraries are loaded once
    started = time.process_time()
    preview(client, data)
    assert time.process_time() - started < 1


# Written by GDAL's ogr2ogr (tests/sources/ogr_files.py says how): every format that a club is sent.
OGR = Path(__file__).resolve().parents[1] / "sources" / "boundary_files"
FILES = ["plain.geojson", "plain.kml", "packed.kmz", "track.gpx", "etrs89.zip", "plain.wkt", "survey.geojson"]


@pytest.mark.parametrize("name", FILES)
def test_every_format_reaches_the_preview_with_its_area(client: Client, name: str) -> None:
    address, html = preview(client, (OGR / name).read_bytes(), name)
    if address.endswith("/system/"):
        address = client.post(address, {"crs": "EPSG:4326", "other": ""}).url
        html = client.get(address).content.decode()
    draft = ImportDraft.objects.get()
    good = [shape for shape in draft.shapes if "error" not in shape]
    assert good
    assert all(shape["area_m2"] > 100 for shape in good)
    assert html.count("Show it on the map") == len(good)
