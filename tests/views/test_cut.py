"""The pages that split and merge a site: looked at first, with what goes over in words, then saved."""

import json
import re
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from people.models import User
from permissions.models import Site
from tests import make
from tests.actions.test_cut import EAST_BOX, MIDDLE

LINE = json.dumps(MIDDLE)


@pytest.fixture
def client(client_of: Callable[[User], Client], secretary: User) -> Client:
    make.club()
    return client_of(secretary)


@pytest.fixture
def site(secretary: User) -> Site:
    return make.site(code="SF04", name="Saltmere Forty", by=secretary)


def mark(html: str) -> str:
    found = re.search(r'name="seen" value="(\w+)"', html)
    assert found
    return found[1]


def post(client: Client, name: str, site: Site, **values: Any) -> Any:
    return client.post(reverse(f"permissions:{name}", args=[site.pk]), {"client_id": uuid4()} | values)


def look(client: Client, name: str, site: Site, **values: Any) -> str:
    response = post(client, name, site, look="", **values)
    assert response.status_code == 200
    return response.content.decode()


@pytest.mark.parametrize("line", [LINE, "53.599, 0.1515\n53.603, 0.1515"], ids=["drawn", "typed"])
def test_a_split_is_looked_at_and_then_saved(client: Client, site: Site, line: str) -> None:
    make.permission(site, reference="P07")
    html = look(client, "site_split", site, line_text=line)
    assert "Permission P07 goes on over the new ground." in html
    assert html.count("2.0 ha") == 2
    assert 'value="SF04A"' in html
    assert Site.objects.count() == 1
    key = uuid4()
    values = {"line_text": line, "seen": mark(html), "client_id": key, "save": ""}
    values |= {"p0-code": "SF04A", "p0-name": "West", "p1-code": "sf04b", "p1-name": "East"}
    for _ in range(2):  # sent twice it is one
        assert post(client, "site_split", site, **values).status_code == 302
    assert [s.code for s in Site.objects.current()] == ["SF04A", "SF04B"]
    page = client.get(reverse("permissions:site_detail", args=[site.pk])).content.decode()
    assert "SF04 was split on" in page
    assert "SF04A West" in page
    assert "Redraw the boundary" in page
    assert ">Split<" not in page


def test_another_line_than_the_one_looked_at_is_shown_first(client: Client, site: Site) -> None:
    html = look(client, "site_split", site, line_text=LINE)
    moved = LINE.replace("0.1515", "0.1512")
    response = post(client, "site_split", site, line_text=moved, seen=mark(html), save="", **{"p0-code": "A"})
    assert response.status_code == 200
    assert Site.objects.count() == 1


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("", "Draw the line"),
        ("53.6, 0.1515", "1 point was given"),
        ("[]", "not an object"),
        ('{"type": "LineString"', "not whole GeoJSON"),
        ('{"type": "LineString", "coordinates": [[0.2, 53.6], [0.2, 53.7]]}', "does not meet the boundary"),
        ('{"type": "LineString", "coordinates": [[0.1515, 53.6005], [0.1515, 53.7]]}', "in two"),
        ('{"type": "Point", "coordinates": [0.15, 53.6]}', "no line to cut along"),
        ('{"type": "LineString", "coordinates": "x"}', "not GeoJSON"),
        ('{"type": "Feature", "geometry": 7}', "GeoJSON"),
    ],
)
def test_a_line_that_does_not_cut_is_said_and_kept(client: Client, site: Site, line: str, words: str) -> None:
    html = look(client, "site_split", site, line_text=line)
    assert words in html
    assert line.replace('"', "&quot;") in html


def test_codes_taken_or_given_twice_are_said_at_the_part(client: Client, site: Site) -> None:
    make.site(code="WC01")
    html = look(client, "site_split", site, line_text=LINE)
    values = {"line_text": LINE, "seen": mark(html), "save": "", "p0-name": "West", "p1-name": "East"}
    html = post(client, "site_split", site, **values, **{"p0-code": "wc01", "p1-code": "B"}).content.decode()
    assert "“WC01” is the code of another site already" in html
    html = post(client, "site_split", site, **values, **{"p0-code": "A", "p1-code": "a"}).content.decode()
    assert "“A” is the code of part 1 already" in html
    assert Site.objects.current().count() == 2


def test_planned_hunts_are_named_before_the_split(client: Client, site: Site) -> None:
    make.hunt(site, state="planned")
    html = look(client, "site_split", site, line_text=LINE)
    assert "Hunts are planned on SF04: the gate will be shut for them" in html


def test_neighbours_are_merged_after_a_look(client: Client, site: Site, secretary: User) -> None:
    other = make.site(code="SF05", name="Warp Close", by=secretary, **EAST_BOX)
    make.permission(site, reference="P07")
    html = look(client, "site_merge", site, others=[other.pk])
    assert "8.0 ha" in html
    assert "Permission P07 covers only part of it" in html
    key = uuid4()
    values = {"others": [other.pk], "seen": mark(html), "save": "", "client_id": key}
    for _ in range(2):
        response = post(client, "site_merge", site, **values, **{"p0-code": "SF10", "p0-name": "Great Forty"})
        assert response.status_code == 302
    new = Site.objects.current().get()
    assert (new.code, new.name) == ("SF10", "Great Forty")
    assert "Made on" in client.get(response.url).content.decode()


def test_a_site_without_a_neighbour_cannot_be_merged(client: Client, site: Site) -> None:
    make.site(min_lon=0.3, max_lon=0.303)
    html = client.get(reverse("permissions:site_merge", args=[site.pk])).content.decode()
    assert "No other site lies next to" in html


def test_different_law_is_said_and_nothing_is_merged(client: Client, site: Site) -> None:
    other = make.site(jurisdiction="scotland", **EAST_BOX)
    assert "Different law applies" in look(client, "site_merge", site, others=[other.pk])
    assert Site.objects.current().count() == 2


def test_a_stranger_to_the_neighbourhood_is_no_choice(client: Client, site: Site) -> None:
    make.site(**EAST_BOX)
    far = make.site(
        boundary=json.loads(json.dumps(make.SQUARE).replace("0.15", "0.35")), min_lon=0.35, max_lon=0.353
    )
    html = look(client, "site_merge", site, others=[far.pk])
    assert "Select a valid choice" in html
