"""The map of finds: what each reader is shown, and that no frame says more of a hidden place than its square."""

import json
import math
from typing import Any

import numpy as np
import pytest
import shapely
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from finds.map_query import Frame
from finds.models import Find, FindMaterial, FindspotView
from finds.squares import map_columns, square_at
from geo.position import Country
from geo.precision import square_of
from people.rights import Role
from tests import make

pytestmark = pytest.mark.django_db

HIDDEN = (0.15123, 53.60117)


@pytest.fixture
def hunt(leader):
    make.club()
    return make.hunt(leader=leader, state="running")


def ask(client, frame: tuple[float, float, float, float] | None = None, zoom: int = 12, **asked: Any) -> Any:
    """The collection that the map answers with."""
    names = ("west", "south", "east", "north")
    body = dict(zip(names, frame, strict=True)) | {"zoom": zoom} if frame else {}
    response = client.post(reverse("finds:map_data", query=asked), body)
    assert response.status_code == 200, response.content
    return json.loads(response.content)


def of_kind(answer: Any, kind: str) -> list[Any]:
    return [each for each in answer["features"] if each["properties"]["kind"] == kind]


def about_finds(answer: Any) -> list[Any]:
    return [each for each in answer["features"] if each["properties"]["kind"] != "site"]


def around(lon: float, lat: float, size_deg: float) -> tuple[float, float, float, float]:
    return lon - size_deg, lat - size_deg, lon + size_deg, lat + size_deg


@pytest.mark.parametrize("role", [Role.SECRETARY, Role.COMMITTEE])
def test_those_with_the_right_see_each_find_where_it_lay(role, hunt, client_of) -> None:
    find = make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    (shown,) = of_kind(ask(client_of(make.person(role)), around(*HIDDEN, 0.01), 16), "find")
    assert shown["geometry"]["coordinates"] == list(HIDDEN)
    assert shown["properties"]["url"] == reverse("finds:detail", args=[find.pk])


def test_a_member_sees_own_finds_exactly_and_others_in_their_square(hunt, member, client_of) -> None:
    make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    make.find(hunt, member, lon=0.1519, lat=53.6012)
    answer = ask(client_of(member), around(*HIDDEN, 0.01), 16)
    (own,), (square,) = of_kind(answer, "find"), of_kind(answer, "square")
    assert own["geometry"]["coordinates"] == [0.1519, 53.6012]
    assert square["properties"]["count"] == 2
    ring = [tuple(pair) for pair in square["geometry"]["coordinates"][0]]
    assert ring == list(square_of(*HIDDEN, 1000, Country.GB).ring)


def test_a_leader_sees_the_finds_of_hunts_they_led(hunt, member, client_of) -> None:
    make.find(hunt, member)
    other = make.person(Role.LEADER)
    assert len(of_kind(ask(client_of(hunt.leader), around(*HIDDEN, 0.01), 16), "find")) == 1
    assert of_kind(ask(client_of(other), around(*HIDDEN, 0.01), 16), "find") == []


@pytest.mark.parametrize("reader", ["finder", "leader", "member", "committee", "secretary"])
@pytest.mark.parametrize("zoom", [0, 6, 11, 12, 16, 22])
def test_locked_and_withdrawn_finds_are_on_no_map_and_in_no_count(reader, zoom, hunt, client_of) -> None:
    finder = make.person()
    readers = {
        "finder": finder,
        "leader": hunt.leader,
        "member": make.person(),
        "committee": make.person(Role.COMMITTEE),
        "secretary": make.person(Role.SECRETARY),
    }
    make.find(hunt, finder, locked=True)
    make.find(hunt, finder, withdrawn_at=hunt.starts_at and make.now())
    client = client_of(readers[reader])
    assert about_finds(ask(client)) == []
    assert about_finds(ask(client, around(*HIDDEN, 0.01), zoom)) == []
    assert client.get(reverse("finds:map_picture")).status_code == 404
    assert not FindspotView.objects.exists()


def test_those_who_may_know_are_told_how_many_are_left_out(hunt, committee, member, client_of) -> None:
    make.find(hunt, hunt.leader, locked=True)
    make.find(hunt, hunt.leader, lon=None, lat=None)
    said = "locked and on no map"
    assert said in client_of(committee).get(reverse("finds:map")).text
    assert said in client_of(hunt.leader).get(reverse("finds:map")).text
    other = client_of(member).get(reverse("finds:map")).text
    assert said not in other
    assert "1 of these finds has no place on record" in other


def corners(feature: Any) -> list[list[float]]:
    shape = feature["geometry"]
    return shape["coordinates"][0] if shape["type"] == "Polygon" else [shape["coordinates"]]


def test_no_frame_and_no_zoom_narrows_a_hidden_find_below_its_square(hunt, member, client_of) -> None:
    """Two worlds that differ only in where the find lies within its square answer every frame alike."""
    square = square_of(*HIDDEN, 1000, Country.GB)
    inside = shapely.Polygon(square.ring)
    rng = np.random.default_rng(8)
    find = make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    client = client_of(member)
    frames = [
        (around(*rng.normal(HIDDEN, 0.01), 10 ** rng.uniform(-6, 0)), int(rng.integers(0, 23)))
        for _ in range(60)
    ]
    frames += [(around(*pair, 1e-5), 22) for pair in square.ring]
    first = [ask(client, frame, zoom) for frame, zoom in frames]
    for share in (0.02, 0.5, 0.98):
        west, south, east, north = inside.bounds
        place = shapely.Point(west + share * (east - west), south + share * (north - south))
        if not inside.contains(place):
            continue
        Find.objects.filter(pk=find.pk).update(lon=place.x, lat=place.y)
        assert square_of(place.x, place.y, 1000, Country.GB).label == square.label
        assert [ask(client, frame, zoom) for frame, zoom in frames] == first
    assert any(about_finds(answer) for answer in first)


def test_what_a_member_is_told_always_holds_the_whole_square(hunt, member, client_of) -> None:
    """Intersecting every answer that says "here" leaves the square and nothing smaller."""
    square = shapely.Polygon(square_of(*HIDDEN, 1000, Country.GB).ring)
    make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    client, rng = client_of(member), np.random.default_rng(9)
    left = square.buffer(0.05)
    for _ in range(120):
        west, south = (
            rng.uniform(HIDDEN[0] - 0.02, HIDDEN[0] + 0.01),
            rng.uniform(HIDDEN[1] - 0.02, HIDDEN[1] + 0.01),
        )
        frame = (west, south, west + 0.0003, south + 0.0003)
        shown = about_finds(ask(client, frame, int(rng.integers(11, 23))))
        for each in shown:
            left = left.intersection(shapely.Polygon(corners(each)))
        if shown:
            continue
        # What is not answered may rule ground out, but never ground of the square itself.
        left = left.difference(shapely.box(*frame))
    assert left.intersection(square).area == pytest.approx(square.area, rel=1e-9)


def test_a_members_clusters_stand_at_the_middles_of_squares(hunt, member, secretary, client_of) -> None:
    make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    square = square_of(*HIDDEN, 1000, Country.GB)
    (own,) = of_kind(ask(client_of(member), (-10, 50, 3, 60), 6), "cluster")
    (full,) = of_kind(ask(client_of(secretary), (-10, 50, 3, 60), 6), "cluster")
    assert own["geometry"]["coordinates"] == [round(square.centre_lon, 6), round(square.centre_lat, 6)]
    assert full["geometry"]["coordinates"] == list(HIDDEN)


def test_no_query_for_a_member_names_a_hidden_place(hunt, member, client_of) -> None:
    """The finds' own columns of place stand only beside the condition that the finder or leader asks."""
    make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    client = client_of(member)
    for zoom in (3, 9, 11, 14, 20):
        with CaptureQueriesContext(
            connection,
        ) as seen:
            ask(client, around(*HIDDEN, 0.02), zoom)
            ask(client)
        asked = [q["sql"] for q in seen if 'FROM "finds_find"' in q["sql"]]
        assert asked
        loose = [
            sql for sql in asked if '"finds_find"."lat"' in sql and '"finds_find"."finder_id" =' not in sql
        ]
        assert loose == []


@pytest.mark.parametrize("reader", ["stranger", "member", "leader", "secretary", "committee"])
def test_the_maps_rows_are_those_that_are_visible_and_not_locked(reader, hunt, request) -> None:
    user = hunt.leader if reader == "leader" else request.getfixturevalue(reader)
    for locked in (False, True):
        for finder in (user, make.person()):
            make.find(hunt, finder, locked=locked)
            make.find(make.hunt(), finder, locked=locked, withdrawn_at=make.now())
            make.find(make.hunt(), finder, locked=locked, lon=None, lat=None)
    visible = set(Find.objects.visible_to(user).filter(locked=False).values_list("pk", flat=True))
    assert set(Find.objects.on_map_for(user).values_list("pk", flat=True)) == visible


def test_a_square_is_known_again_by_its_middle() -> None:
    for lon, lat, country in (
        (*HIDDEN, Country.GB),
        (-6.26, 53.35, Country.IE),
        (-5.93, 54.6, Country.NI),
        (-4.5, 54.2, Country.IM),
        (18.07, 59.33, Country.SE),
        (-82.5, 28.0, Country.US),
    ):
        columns = map_columns(lon, lat, country)
        assert square_at(columns["square_lon"], columns["square_lat"]) == square_of(lon, lat, 1000, country)


@pytest.mark.parametrize("lat", [-60.0, 0.0, 53.6, 60.5])
def test_a_widened_frame_reaches_the_middle_of_every_square_it_touches(lat: float) -> None:
    """Half a diagonal of 1 km is 707 m; a degree of latitude is at least 110,574 m (WGS84, at the equator)."""
    frame = Frame(10, lat, 10.001, lat + 0.001, 15)
    wide = frame.with_squares
    assert (frame.south - wide.south) * 110_574 > 707.2
    assert (frame.west - wide.west) * 111_320 * math.cos(math.radians(lat)) * 0.996 > 707.2


def test_filters_narrow_map_and_list_alike(hunt, secretary, client_of) -> None:
    client = client_of(secretary)
    coin = make.find(hunt, hunt.leader, object_type="coin", period="Roman", year_from=260, year_to=296)
    FindMaterial.objects.create(find=coin, material="silver", share_percent=None)
    make.find(hunt, hunt.leader, object_type="buckle", year_from=1300, year_to=None)
    make.find(hunt, hunt.leader, object_type="nail")
    for asked, number in (
        ({}, 3),
        ({"q": "coin"}, 1),
        ({"period": "roman"}, 1),
        ({"year_from": 200, "year_to": 300}, 1),
        ({"year_from": 290}, 2),
        ({"year_to": 1400}, 2),
        ({"year_to": -50}, 0),
        ({"material": "silver"}, 1),
        ({"material": "gold"}, 0),
        ({"hunt": hunt.code.lower()}, 3),
        ({"hunt": "H0"}, 0),
        ({"site": hunt.sites.all()[0].code}, 3),
        ({"season": hunt.on.year if hunt.on.month > 7 else hunt.on.year - 1}, 3),
    ):
        assert len(of_kind(ask(client, around(*HIDDEN, 0.01), 16, **asked), "find")) == number, asked
        assert len(client.get(reverse("finds:map", query=asked)).context["rows"]) == number, asked


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"year_from": "0"}, "There is no year 0"),
        ({"year_from": "300", "year_to": "200"}, "200 is before 300"),
        ({"season": "1066"}, "1066"),
        ({"material": "cheese"}, "cheese"),
    ],
)
def test_a_filter_that_makes_no_sense_is_named_and_keeps_what_was_typed(
    asked, said, hunt, member, client_of
) -> None:
    make.find(hunt, member)
    page = client_of(member).get(reverse("finds:map", query=asked))
    assert page.status_code == 200
    assert said in page.text


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ({"west": 1, "zoom": 4}, "lacks south, east, north"),
        ({"west": 3, "south": 1, "east": 2, "north": 2, "zoom": 4}, "inside out"),
        ({"west": "nan", "south": 1, "east": 2, "north": 2, "zoom": 4}, "west"),
        ({"west": 1, "south": 1, "east": 2, "north": 99, "zoom": 4}, "90"),
        ({"west": 1, "south": 1, "east": 2, "north": 2, "zoom": 99}, "22"),
    ],
)
def test_a_frame_that_makes_no_sense_is_refused_with_the_reason(body, said, member, client_of) -> None:
    response = client_of(member).post(reverse("finds:map_data"), body)
    assert response.status_code == 400
    assert said in response.text


def test_answers_are_kept_nowhere_and_frames_stand_in_no_address(hunt, member, client_of) -> None:
    client = client_of(member)
    response = client.post(reverse("finds:map_data"))
    assert response["Cache-Control"] == "private, no-store"
    assert "ETag" not in response
    assert client.get(reverse("finds:map_data")).status_code == 405


def test_a_wide_frame_at_a_fine_zoom_is_answered_coarsely(secretary, hunt, client_of) -> None:
    frame = Frame(-180, -85, 180, 85, 22)
    assert frame.counted_zoom <= 6
    make.find(hunt, hunt.leader)
    assert ask(client_of(secretary), (-180, -85, 180, 85), 5)["features"]


def test_the_picture_shows_a_member_squares_and_the_secretary_finds(
    hunt, member, secretary, client_of
) -> None:
    find = make.find(hunt, hunt.leader, lon=HIDDEN[0], lat=HIDDEN[1])
    shown = {who: client_of(who).get(reverse("finds:map_picture")) for who in (member, secretary)}
    assert shown[member]["Content-Type"] == "image/svg+xml; charset=utf-8"
    assert find.number not in shown[member].text
    assert "1 km square" in shown[member].text
    assert find.number in shown[secretary].text


@pytest.mark.once
def test_map_asks_the_database_as_often_for_many_finds_as_for_one(hunt, member, secretary, client_of) -> None:
    def counted(user) -> list[int]:
        client = client_of(user)
        numbers = []
        for visit in (
            lambda: client.get(reverse("finds:map")),
            lambda: ask(client),
            lambda: ask(client, around(*HIDDEN, 0.01), 16),
            lambda: client.get(reverse("finds:map_picture")),
        ):
            with CaptureQueriesContext(connection) as seen:
                visit()
            numbers.append(len(seen))
        return numbers

    make.find(hunt, member)
    before = [counted(user) for user in (member, secretary)]
    for number in range(30):
        make.find(hunt, hunt.leader, lon=0.1501 + number / 1e5)
    assert [counted(user) for user in (member, secretary)] == before
