"""Adding and redrawing a site: every bad boundary gets a clear message, and what was typed stays."""

import json
import re
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import User
from permissions.models import ClosedPeriod, FieldState, NoGoArea, Site
from tests import make

CORNERS = "53.6000, 0.1500\n53.6000, 0.1530\n53.6018, 0.1530\n53.6018, 0.1500"


def ring(*points: tuple[float, float]) -> str:
    return json.dumps({"type": "Polygon", "coordinates": [[list(p) for p in (*points, points[0])]]})


SQUARE = ring((0.15, 53.6), (0.153, 53.6), (0.153, 53.6018), (0.15, 53.6018))
CROSSED = ((0.15, 53.6), (0.153, 53.6018), (0.153, 53.6), (0.15, 53.6018))
DETAILS = {"code": "SF04", "name": "Saltmere Forty", "jurisdiction": "england", "tenure": "unknown"}


@pytest.fixture
def client(client_of: Callable[[User], Client], secretary: User) -> Client:
    make.club()
    return client_of(secretary)


def add(client: Client, boundary: str, **fields: Any) -> Any:
    values = DETAILS | {"client_id": uuid4(), "boundary_text": boundary} | fields
    return client.post(reverse("permissions:site_add"), values)


def refused(response: Any) -> str:
    assert response.status_code == 200
    assert not Site.objects.exists()
    return response.content.decode()


@pytest.mark.parametrize("boundary", [SQUARE, CORNERS], ids=["GeoJSON", "corners"])
def test_a_boundary_drawn_or_typed_makes_a_site(client: Client, boundary: str) -> None:
    response = add(client, boundary)
    site = Site.objects.get()
    assert response.url == reverse("permissions:site_detail", args=[site.pk])
    # 0.003 by 0.0018 degrees at 53.6 north is 198.6 m by 200.3 m: 3.98 ha (pyproj Geod, WGS84).
    assert site.area_m2 == pytest.approx(39_780, rel=0.005)
    assert "4.0 ha (9.8 acres)" in client.get(response.url).content.decode()


def test_grid_references_make_a_site(client: Client) -> None:
    add(client, "TA 42400 12300\nTA 42600 12300\nTA 42600 12500\nTA 42400 12500")
    # A square of 200 m on the grid, whose scale there is within 0.1 % of the ground's.
    assert Site.objects.get().area_m2 == pytest.approx(40_000, rel=0.002)


@pytest.mark.parametrize(
    ("boundary", "words"),
    [
        (ring(*CROSSED), "The line crosses itself at 53.6009"),
        ("TA 424 1230\nTA 426 123\nTA 426 125", "Line 1"),
        ("53.6, 0.15\n53.6, 0.16", "2 corners were given"),
        ("0.15, 53.6\n0.153, 53.6\n0.153, 53.6018", "swapped"),
        (ring((53.6, 0.15), (53.6, 0.153), (53.6018, 0.153)), "latitude before longitude"),
        (ring((-6.2, 53.3), (-6.2, 53.31), (-6.21, 53.31)), "outside Great Britain"),
        (ring((0.15, 53.6), (0.153, 53.6), (0.156, 53.6)), "no ground"),
        ('{"type": "Point", "coordinates": [0.15, 53.6]}', "encloses no ground"),
        ('{"type": "Polygon", "coord', "not JSON"),
        ("the field behind the church", "not a position that can be read"),
    ],
)
def test_a_bad_boundary_is_named_with_its_remedy_and_kept(client: Client, boundary: str, words: str) -> None:
    html = refused(add(client, boundary))
    assert words in html
    assert "Saltmere Forty" in html
    assert boundary.splitlines()[0].replace('"', "&quot;") in html


@pytest.mark.parametrize("kind", ["GeoJSON", "corners"])
def test_two_hundred_thousand_points_are_answered_quickly(client: Client, kind: str) -> None:
    points = [(0.15 + n / 1e8, 53.6) for n in range(200_000)]
    text = ring(*points) if kind == "GeoJSON" else "\n".join(f"{lat}, {lon:.6f}" for lon, lat in points)
    html = refused(add(client, text))
    assert ("more than 50,000 points" if kind == "GeoJSON" else "200,000 lines") in html


MENDED = json.dumps({"type": "Feature", "properties": {}, "geometry": json.loads(ring(*CROSSED))})


def mark(html: str) -> str:
    """The mark of the boundary that was shown."""
    found = re.search(r'name="seen" value="(\w+)"', html)
    assert found
    return found[1]


def test_an_export_that_crosses_itself_is_shown_mended_before_it_is_saved(client: Client) -> None:
    html = refused(add(client, MENDED))
    assert "was mended" in html
    assert "Nothing is saved yet" in html
    assert '"kind": "drawn"' in html
    assert "Saltmere Forty" in html
    response = add(client, MENDED, seen=mark(html))
    assert "was mended" in client.get(response.url).content.decode()


def test_another_boundary_than_the_one_looked_at_is_shown_anew(client: Client) -> None:
    html = refused(add(client, MENDED))
    refused(add(client, MENDED.replace("0.153", "0.154"), seen=mark(html)))


def test_a_mended_line_of_a_site_is_looked_at_too(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    address = reverse("permissions:site_boundary", args=[site.pk])
    html = client.post(address, {"boundary_text": MENDED}).content.decode()
    assert site.boundaries.count() == 1
    client.post(address, {"boundary_text": MENDED, "seen": mark(html)})
    assert site.boundaries.count() == 2


def test_a_neighbour_on_the_same_ground_is_named(client: Client) -> None:
    add(client, SQUARE)
    response = add(client, SQUARE, code="SF05", name="Warp Close")
    html = client.get(response.url).content.decode()
    assert "It shares 3.98 ha with SF04 Saltmere Forty" in html


def test_a_code_in_use_is_named_and_the_same_form_twice_is_one_site(client: Client) -> None:
    key = uuid4()
    add(client, SQUARE, client_id=key)
    assert add(client, SQUARE, client_id=key).status_code == 302
    html = add(client, SQUARE, code="sf04").content.decode()
    assert "“SF04” is the code of Saltmere Forty already" in html
    assert Site.objects.count() == 1


def test_a_redrawn_boundary_shows_its_history(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    address = reverse("permissions:site_boundary", args=[site.pk])
    assert "0.153,53.6" in client.get(address).content.decode()
    client.post(address, {"boundary_text": CORNERS.replace("0.1530", "0.1520")})
    assert site.boundaries.count() == 2
    page = client.get(reverse("permissions:site_detail", args=[site.pk])).content.decode()
    assert page.count("drawn by Sal Marram") == 2


def test_the_way_in_is_read_and_shown_again(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    address = reverse("permissions:site_edit", args=[site.pk])
    values = DETAILS | {"gate_text": "53.6001, 0.1501"}
    assert client.post(address, values | {"gate_text": "by the oak"}).status_code == 200
    client.post(address, values)
    site.refresh_from_db()
    assert (site.gate_lat, site.gate_lon) == (53.6001, 0.1501)
    assert "53.600100, 0.150100" in client.get(address).content.decode()


def ground(client: Client, name: str, site: Site, **fields: Any) -> Any:
    return client.post(reverse(f"permissions:{name}", args=[site.pk]), {"client_id": uuid4()} | fields)


def test_a_closed_period_that_ends_before_it_starts_names_both_days(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    response = ground(
        client,
        "closed_period_add",
        site,
        reason="lambing",
        starts="2026-04-30",
        ends="2026-02-01",
        effect="shut",
    )
    assert "(1 Feb 2026) is before the first day (30 Apr 2026)" in response.content.decode()
    assert not ClosedPeriod.objects.exists()


def test_a_usual_season_fills_the_form_over_new_year(client: Client, secretary: User) -> None:
    address = reverse("permissions:closed_period_add", args=[make.site(by=secretary).pk])
    html = client.get(f"{address}?season=pheasant").content.decode()
    # Game Act 1831 s.3: no pheasant is killed between 1 February and 1 October.
    assert f'value="{localdate().year}-10-01"' in html
    assert f'value="{localdate().year + 1}-02-01"' in html


def test_a_field_seen_tomorrow_is_refused(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    before = FieldState.objects.count()
    response = ground(client, "field_state_add", site, on=make.days(1), effect="open", said_by="Ada")
    assert "has not come yet" in response.content.decode()
    assert FieldState.objects.count() == before


def test_a_protected_place_nearby_must_be_named(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    response = ground(
        client, "protected_check_add", site, checked_on=localdate(), result="touches", source="county map"
    )
    assert "Name the protected place" in response.content.decode()


def test_a_no_go_area_outside_reason_is_refused_and_a_good_one_shown(client: Client, secretary: User) -> None:
    site = make.site(by=secretary)
    response = ground(client, "no_go_add", site, reason="well", buffer_m=5000, boundary_text=CORNERS)
    assert "5000 m cannot be right" in response.content.decode()
    corner = "53.6000, 0.1500\n53.6000, 0.1505\n53.6003, 0.1505"
    ground(client, "no_go_add", site, reason="well", buffer_m=5, boundary_text=corner)
    assert NoGoArea.objects.get().buffer_m == 5
    html = client.get(reverse("permissions:site_detail", args=[site.pk])).content.decode()
    assert "well, and 5 m round it" in html
    assert "without no-go ground" in html
