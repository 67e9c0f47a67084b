"""What the log holds of a day's work as JSON: enough to find a fault, and no person, place or key."""

import json
import logging
from collections.abc import Iterator
from io import StringIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from permissions.links import key_of
from reports.sign_links import sign_key_of
from tests import make
from tests.views.locked_place import traces
from tests.views.world import World, build
from web.log_keys import HideKeys
from web.log_lines import JsonLines

pytestmark = pytest.mark.django_db
ID = "0123456789abcdef"


@pytest.fixture
def log() -> Iterator[StringIO]:
    """What a club that set LOG_FORMAT=json finds in its log, from DEBUG on and from every logger."""
    stream = StringIO()
    handler = logging.StreamHandler(stream)
    handler.setFormatter(JsonLines())
    handler.addFilter(HideKeys())
    root, level = logging.getLogger(), logging.getLogger().level
    root.addHandler(handler)
    root.setLevel(logging.INFO)
    yield stream
    root.removeHandler(handler)
    root.setLevel(level)


def lines(log: StringIO) -> list[dict[str, Any]]:
    return [json.loads(line) for line in log.getvalue().splitlines()]


def test_a_line_says_what_was_asked_and_what_came_of_it(log: StringIO, secretary: Any) -> None:
    make.club()
    client = Client()
    client.force_login(secretary)
    answer = client.get(reverse("finds:list"), {"q": "a brooch for Mo"})
    (line,) = [line for line in lines(log) if line["logger"] == "stubble.request"]
    assert {name: line[name] for name in ("level", "view", "method", "status")} == {
        "level": "INFO", "view": "finds:list", "method": "GET", "status": 200,
    }  # fmt: skip
    assert line["request_id"] == answer["X-Request-ID"]
    assert len(line["account"]) == 12
    assert 0 <= line["ms"] < 60_000
    assert "brooch" not in log.getvalue()


def test_the_same_account_has_the_same_mark_and_nobody_without_a_session_has_one(
    log: StringIO, secretary: Any, member: Any
) -> None:
    make.club()
    for user in (secretary, member, secretary, None):
        client = Client()
        if user:
            client.force_login(user)
        client.get(reverse("people:me"))
    marks = [line.get("account") for line in lines(log) if line["logger"] == "stubble.request"]
    assert marks[0] == marks[2] != marks[1]
    assert marks[3] is None


@pytest.mark.parametrize(
    ("behind", "given", "kept"), [(True, ID, True), (False, ID, False), (True, "x\ny" * 9, False)]
)
def test_only_a_proxys_own_number_is_taken_over(settings: Any, behind: bool, given: str, kept: bool) -> None:
    settings.BEHIND_PROXY = behind
    answer = Client().get("/health/", headers={"X-Request-ID": given.replace("\n", "\t")})
    assert (answer["X-Request-ID"] == given) is kept


def test_nothing_is_logged_of_machines_that_ask_whether_all_is_well(log: StringIO) -> None:
    Client().get("/health/")
    assert log.getvalue() == ""


def test_an_error_is_logged_by_its_kind_and_its_way_without_what_it_says(log: StringIO) -> None:
    def broken() -> None:
        try:
            raise KeyError("mo@ravensand.example")
        except KeyError as error:
            raise ValueError("Key (email)=(mo@ravensand.example) is there already") from error

    try:
        broken()
    except ValueError:
        logging.getLogger("any").exception("It went wrong for mo@ravensand.example")
    (line,) = lines(log)
    assert line["message"] == "It went wrong for …"
    assert line["error"]["kind"] == "ValueError"
    assert line["error"]["cause"]["kind"] == "KeyError"
    assert line["error"]["way"][-1].endswith("broken")
    assert "ravensand" not in log.getvalue()


def journey(world: World) -> None:
    """Somebody signs in, records, reads, looks for things that are not there and opens private links."""
    client = Client()
    client.post(
        reverse("people:sign_in"), {"login": world.member.email, "password": "wrong " + make.PASSWORD}
    )
    client.post(reverse("people:sign_in"), {"login": world.member.email, "password": make.PASSWORD})
    client.get(reverse("finds:detail", args=[world.locked.pk]))
    client.get(reverse("finds:detail", args=[99_999]))
    client.get(reverse("people:person_detail", args=[world.secretary.pk]))
    client.get(reverse("finds:list"), {"q": world.member.name})
    photo = SimpleUploadedFile("mo samphire garden.jpg", make.photo_bytes())
    client.post(reverse("hunts:hole_photo_add", args=[world.hole.pk]), {"photos": photo, "stage": "after"})
    client.get(reverse("hunts:hole_detail", args=[world.hole.pk]))
    client.get("/finds/%00/")
    reader = Client()
    reader.get(reverse("reports:landholder", args=[key_of(world.link)]))
    reader.get(reverse("reports:landholder", args=[key_of(world.link)[:-3] + "xxx"]))
    reader.get(reverse("reports:sign", args=[sign_key_of(world.sign_request)]))
    reader.post(reverse("people:password_reset"), {"email": world.member.email})
    Client(enforce_csrf_checks=True).post(reverse("people:password_reset"), {"email": world.member.email})
    Client(raise_request_exception=False).get(
        reverse("reports:landholder", args=["nonsense:key:of-somebody"])
    )


def test_a_days_work_leaves_no_person_place_or_key_in_the_log(
    log: StringIO, django_capture_on_commit_callbacks: Any
) -> None:
    world = build()
    with django_capture_on_commit_callbacks(execute=True):
        journey(world)
    text, found = log.getvalue(), lines(log)
    assert {line.get("view") for line in found} >= {
        "finds:detail",
        "people:sign_in",
        "reports:landholder",
        "no view",
    }
    assert {line.get("status") for line in found} >= {200, 302, 404, 400, 403}
    people = [world.secretary, world.leader, world.member, world.committee, world.landholder]
    assert all("request_id" in line for line in found if line["logger"].startswith(("django.", "stubble.")))
    secrets = [word for each in people for word in (each.name, each.name.split()[-1], each.email)]
    secrets += [key_of(world.link), sign_key_of(world.sign_request), make.PASSWORD, "garden", "somebody"]
    assert [word for word in secrets if word.lower() in text.lower()] == []
    for row in (world.locked, world.find, world.hole):
        assert not traces(row.lon, row.lat).search(text)
