"""What many questions together tell of a place that no single answer names.

Source: D. E. Denning, Cryptography and Data Security, 1982, chapter 6 (inference controls: counts, overlapping
questions and trackers). The 1 km square is common practice (four figures of the National Grid). What no answer may
depend on is tried byte by byte in tests/views/test_locked_place_changes_nothing.py; here an unlocked find of somebody
else is moved inside its square, and then a locked one across the county.
"""

import json
import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from django.test import Client
from django.urls import reverse

from finds.models import Find
from finds.squares import map_columns
from geo.position import Country
from geo.precision import square_of
from tests import EVERYTHING, make
from tests.attacks.ground import Ground, body_of, undone

HIDDEN = (0.15123, 53.60117)
SQUARE = square_of(*HIDDEN, 1000, Country.GB)
FAR = (0.24, 53.66)


def places(count: int) -> list[tuple[float, float]]:
    """Places spread over the same square, its corners among them."""
    rng = np.random.default_rng(1362)
    (west, south), (east, north) = np.min(SQUARE.ring, axis=0), np.max(SQUARE.ring, axis=0)
    found = [HIDDEN]
    while len(found) < count:
        lon, lat = float(rng.uniform(west, east)), float(rng.uniform(south, north))
        if square_of(lon, lat, 1000, Country.GB).label == SQUARE.label:
            found.append((lon, lat))
    return found


def move(find: Find, lon: float, lat: float) -> None:
    said = {"lon": lon, "lat": lat, "position_text": f"{lat}, {lon}", **map_columns(lon, lat, Country.GB)}
    Find.objects.filter(pk=find.pk).update(**said)


def frames() -> Iterator[dict[str, Any]]:
    """A frame that halves again and again towards the find from each side, as somebody would who hunts for it."""
    for zoom in (8, 16, 22):
        for west, south, east, north in (
            (-1.0, 53.0, HIDDEN[0], 54.0),
            (HIDDEN[0], 53.0, 1.0, 54.0),
            (-1.0, 53.0, 1.0, HIDDEN[1]),
            (-1.0, HIDDEN[1], 1.0, 54.0),
            (HIDDEN[0] - 1e-4, HIDDEN[1] - 1e-4, HIDDEN[0] + 1e-4, HIDDEN[1] + 1e-4),
        ):
            yield {"west": west, "south": south, "east": east, "north": north, "zoom": zoom}


QUESTIONS = [
    ("finds:list", {}),
    ("finds:list", {"q": "buckle"}),
    ("finds:list", {"sort": "lat"}),
    ("finds:list", {"order": "-lon"}),
    ("finds:list", {"hunt": "{hunt}"}),
    ("finds:list", {"page": "2"}),
    ("finds:map", {"q": "buckle"}),
    ("finds:map", {"material": "iron", "site": "{site}"}),
    ("finds:map", {"year_from": "1200", "year_to": "1300"}),
    ("finds:map_picture", {}),
    ("finds:map_picture", {"q": "buckle"}),
    ("finds:export_csv", {}),
    ("finds:export_csv", {"locked": "yes"}),
    ("finds:detail", {}),
    ("hunts:detail", {}),
    ("hunts:hole_list", {}),
    ("finds:case_list", {}),
    ("finds:custody_list", {}),
    ("today", {}),
    ("doors:collection", {}),
    ("doors:items", {"limit": "1000", "before": "100000000"}),
    ("doors:items", {"hunt": "{hunt}", "object_type": "button", "locked": "false"}),
    ("doors:items", {"datetime": "../2100-01-01T00:00:00Z", "f": "html"}),
    ("doors:item", {"f": "html"}),
]


def told(client: Client, ground: Ground, find: Find) -> list[str]:
    """Everything that one reader is told, in the order of asking."""
    world, said = ground.world, []
    for page, asked in QUESTIONS:
        args = {
            "finds:detail": [find.pk],
            "hunts:detail": [world.hunt.pk],
            "hunts:hole_list": [world.hunt.pk],
            "doors:collection": ["finds"],
            "doors:items": ["finds"],
            "doors:item": ["finds", find.pk],
        }
        filled = {
            name: value.format(hunt=world.hunt.code, site=world.site.code) for name, value in asked.items()
        }
        answer = client.get(reverse(page, args=args.get(page, [])), filled)
        headers = {
            name: answer.headers.get(name) for name in ("ETag", "Last-Modified", "Location", "Content-Length")
        }
        said.append(plain(f"{answer.status_code} {headers} {body_of(answer).decode('utf-8', 'replace')}"))
    for frame in frames():
        answer = client.post(reverse("finds:map_data"), frame)
        said.append(json.dumps(json.loads(answer.content), sort_keys=True))
    return said + told_of_boxes(client)


def told_of_boxes(client: Client) -> list[str]:
    """What the open interface says of boxes that close in on the find: who is in them, how many, and on which page."""
    said = []
    for frame in list(frames())[:5]:
        box = ",".join(str(frame[edge]) for edge in ("west", "south", "east", "north"))
        answer = client.get(reverse("doors:items", args=["finds"]), {"bbox": box, "limit": "1"})
        said.append(plain(f"{answer.status_code} {answer.headers.get('ETag')} {answer.text}"))
    return said


def no_box_tells_places_of_one_square_apart(ground: Ground) -> None:
    with undone():
        find = make.find(ground.world.hunt, ground.world.leader, lon=HIDDEN[0], lat=HIDDEN[1])
        client, answers = ground.client("other_member"), set()
        for lon, lat in places(3):
            move(find, lon, lat)
            answers.add(str(told_of_boxes(client)))
        assert len(answers) == 1


def plain(text: str) -> str:
    text = re.sub(r'(csrfmiddlewaretoken" value|nonce)="[^"]*"', r"\1", text)
    text = re.sub(r"[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}", "uuid", text)
    return re.sub(r"(?<!\d)\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?!\d)", "clock", text)


def no_answer_tells_places_of_one_square_apart(
    ground: Ground, reader: str, count: int = 9 if EVERYTHING else 2
) -> None:
    with undone():
        find = make.find(ground.world.hunt, ground.world.leader, lon=HIDDEN[0], lat=HIDDEN[1])
        client, answers = ground.client(reader), []
        for lon, lat in places(count):
            move(find, lon, lat)
            answers.append(told(client, ground, find))
        for number, said in enumerate(zip(*answers, strict=True)):
            assert len(set(said)) == 1, (QUESTIONS + list(frames()))[number]


@pytest.mark.parametrize("reader", ["other_member", pytest.param("other_leader", marks=pytest.mark.long)])
def test_no_question_tells_places_of_one_square_apart(reader: str, ground: Ground) -> None:
    no_answer_tells_places_of_one_square_apart(ground, reader)


@pytest.mark.once
def test_the_finder_is_told_other_answers(ground: Ground) -> None:
    """Otherwise the comparison above would compare nothing."""
    with pytest.raises(AssertionError):
        no_answer_tells_places_of_one_square_apart(ground, "leader", 2)


def no_answer_tells_where_a_locked_find_is(ground: Ground, reader: str) -> None:
    find, client = ground.world.others_locked, ground.client(reader)
    with undone():
        here = told(client, ground, find)
        move(find, *FAR)
        assert told(client, ground, find) == here


OTHERS = [pytest.param(name, marks=pytest.mark.long) for name in ("lapsed", "member", "other_leader")]


@pytest.mark.parametrize(
    "reader", ["other_member", pytest.param("secretary", marks=pytest.mark.once), *OTHERS]
)
def test_no_question_tells_where_a_locked_find_is(reader: str, ground: Ground) -> None:
    no_answer_tells_where_a_locked_find_is(ground, reader)


def squares_of(client: Client, frame: dict[str, Any]) -> list[int]:
    """How many finds each square of the answer stands for."""
    answer = json.loads(client.post(reverse("finds:map_data"), frame).content)
    kinds = [each["properties"] for each in answer["features"]]
    return [said["count"] for said in kinds if "count" in said]


def test_the_difference_of_two_frames_tells_no_half_of_a_square(ground: Ground) -> None:
    """A tracker: two frames that overlap but for a strip. A square is in an answer whole or not at all."""
    with undone():
        for lon, lat in places(9):
            move(make.find(ground.world.hunt, ground.world.leader), lon, lat)
        client = ground.client("other_member")
        lats = sorted({lat for _, lat in places(9)})
        counts = {
            tuple(squares_of(client, {"west": 0, "south": 53.5, "east": 0.3, "north": lat, "zoom": 16}))
            for lat in lats
        }
        sums = {sum(each) for each in counts}
        assert len(sums - {0}) <= 1, counts


def test_a_find_that_is_locked_leaves_every_count(ground: Ground) -> None:
    """The moment of locking is no look either: what was counted in its square is counted there no more."""
    wide = {"west": -1, "south": 53, "east": 1, "north": 54, "zoom": 12}
    with undone():
        find = make.find(ground.world.hunt, ground.world.leader, lon=HIDDEN[0], lat=HIDDEN[1])
        client = ground.client("other_member")
        before = sum(squares_of(client, wide))
        Find.objects.filter(pk=find.pk).update(locked=True)
        assert sum(squares_of(client, wide)) == before - 1
        assert find.number not in client.get(reverse("finds:list")).text
        assert client.get(reverse("finds:detail", args=[find.pk])).status_code == 404


@pytest.mark.parametrize("header", ["If-None-Match", "If-Modified-Since", "Range"])
def test_no_condition_of_a_request_tells_of_a_change(header: str, ground: Ground) -> None:
    """304 or 206 would say that nothing, or something, was changed since."""
    said = {"If-None-Match": "*", "If-Modified-Since": "Fri, 01 Jan 2100 00:00:00 GMT", "Range": "bytes=0-3"}
    client = ground.client("other_member")
    for page in ("finds:list", "finds:map"):
        assert client.get(reverse(page), headers={header: said[header]}).status_code == 200
    hidden = reverse("finds:detail", args=[ground.world.others_locked.pk])
    assert client.get(hidden, headers={header: said[header]}).status_code == 404
