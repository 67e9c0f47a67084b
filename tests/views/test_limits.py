"""Too many tries: who is held back, for how long, in which words; and that all processes count together."""

import re
import time
from collections.abc import Callable
from contextlib import closing
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache, caches
from django.db import connection
from django.test import Client, RequestFactory
from django.urls import reverse

from people import limits
from people.invitations import key_of as invitation_key
from people.models import AuditEntry, User
from permissions.links import key_of
from tests import make, make_factors
from tests.views.world import World, build

pytestmark = pytest.mark.django_db
Clock = Callable[[float], None]


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """`later(60)`: the counters read a clock that is a minute ahead."""
    plain, ahead = time.time, [0.0]

    def later(seconds: float) -> None:
        ahead[0] += seconds

    monkeypatch.setattr(time, "time", lambda: plain() + ahead[0])
    return later


@pytest.fixture(params=["default", "shared"])
def counted_in(request: pytest.FixtureRequest, settings: Any) -> str:
    """In memory, as tests count, and in the database, as a club does."""
    settings.CACHES = {**settings.CACHES, "default": settings.CACHES[request.param]}
    cache.clear()
    return str(request.param)


def try_password(email: str, password: str = "not-it", **where: Any) -> Any:
    return Client(**where).post(reverse("people:sign_in"), {"login": email, "password": password})


def test_the_sixth_try_at_one_account_waits_five_minutes_from_any_address(
    member: User, counted_in: str, later: Clock
) -> None:
    for number in range(5):
        assert try_password(member.email, REMOTE_ADDR=f"192.0.2.{number}").status_code == 200
    held = try_password(member.email, make.PASSWORD, REMOTE_ADDR="192.0.2.77")
    assert held.status_code == 429
    assert re.search(r"Try again after \d\d:\d\d; a passkey works meanwhile", held.text)
    assert f'value="{member.email}"' in held.text
    later(301)
    assert try_password(member.email, make.PASSWORD).status_code == 302


def test_one_address_of_the_network_is_held_back_whatever_accounts_it_tries(
    member: User, later: Clock
) -> None:
    answers = [try_password(f"n{number}@marram.example").status_code for number in range(11)]
    assert answers == [200] * 10 + [429]
    assert try_password(member.email, make.PASSWORD, REMOTE_ADDR="192.0.2.1").status_code == 302
    later(61)
    assert try_password(member.email, make.PASSWORD).status_code == 302


def test_an_unknown_address_is_held_back_like_a_known_one(member: User) -> None:
    texts = []
    for email in (member.email, "nobody@marram.example"):
        cache.clear()
        for _ in range(5):
            try_password(email)
        held = try_password(email)
        texts.append(
            (held.status_code, re.sub(r"\d\d:\d\d|csrf\S+ value=\S+", "", held.text).replace(email, ""))
        )
    assert texts[0] == texts[1]


def test_two_processes_count_together(settings: Any) -> None:
    """What one process counted is read through another connection object, as another process would."""
    settings.CACHES = {**settings.CACHES, "default": settings.CACHES["shared"]}
    cache.clear()
    request = RequestFactory().post("/", REMOTE_ADDR="192.0.2.9")
    for _ in range(15):
        assert limits.consume(request, "code") == 0
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM shared_cache")
        assert cursor.fetchone()[0] >= 1
    del caches["default"]  # this process forgets all but the table
    assert 3500 < limits.consume(request, "code") <= 3600


@pytest.mark.parametrize("action", limits.LIMITS)
def test_every_limit_of_ours_holds_and_says_when_it_ends(action: str, member: User, later: Clock) -> None:
    request = RequestFactory().get("/", REMOTE_ADDR="192.0.2.9")
    request.user = member
    most, span = limits.LIMITS[action].split(",")[-1].split("/")[:2]
    for _ in range(int(most)):
        assert limits.consume(request, action, key="k") == 0
    wait = limits.consume(request, action, key="k")
    assert 0 < int(span[:-1]) - wait < 5 or wait == int(span[:-1])
    assert limits.wait_s(request, action, key="k") == pytest.approx(wait, abs=2)
    later(wait + 1)
    assert limits.consume(request, action, key="k") == 0


@pytest.mark.parametrize(
    ("proxies", "said", "counted"),
    [
        (0, "198.51.100.1", "192.0.2.1"),  # nobody in front: what a visitor claims is not believed
        (1, "198.51.100.1", "198.51.100.1"),
        (1, "203.0.113.9, 198.51.100.1", "198.51.100.1"),  # the visitor's own claim stands on the left
    ],
)
def test_the_address_is_the_one_that_our_own_proxy_saw(
    settings: Any, proxies: int, said: str, counted: str
) -> None:
    settings.ALLAUTH_TRUSTED_PROXY_COUNT = proxies
    real = RequestFactory().get("/", REMOTE_ADDR="192.0.2.1", HTTP_X_FORWARDED_FOR=said)
    plain = RequestFactory().get("/", REMOTE_ADDR=counted, HTTP_X_FORWARDED_FOR=counted)
    for _ in range(20):
        limits.consume(real, "link")
    assert limits.wait_s(plain, "link") > 0


# Private addresses


@pytest.fixture
def world() -> World:
    return build()


def test_trying_private_addresses_is_stopped_for_a_while(world: World, later: Clock) -> None:
    right = reverse("reports:landholder", args=[key_of(world.link)])
    kinds = ("/l/{}/", "/s/{}/", "/club/invited/{}/", "/club/mail/stop/{}/")
    client = Client()
    assert client.get(right).status_code == 200
    for number in range(20):
        assert client.get(kinds[number % 4].format(f"guess{number}:abc")).status_code == 410
    held = client.get(right)
    assert held.status_code == 429
    assert 0 < int(held["Retry-After"]) <= 600
    assert re.search(r"try again after \d\d:\d\d", held.text)
    assert world.landholder.name not in held.text
    assert Client(REMOTE_ADDR="192.0.2.1").get(right).status_code == 200
    later(601)
    assert client.get(right).status_code == 200


@pytest.mark.long
def test_opening_ones_own_address_is_never_too_often(world: World) -> None:
    right = reverse("reports:landholder", args=[key_of(world.link)])
    client = Client()
    assert {client.get(right).status_code for _ in range(25)} == {200}


def test_codes_typed_from_one_address_are_counted_over_all_landholders(world: World) -> None:
    world.landholder.asks_code = True
    world.landholder.save()
    url = reverse("reports:landholder_code", args=[key_of(world.link)])
    answers = [Client().post(url, {"code": "00000000", "client_id": uuid4()}).status_code for _ in range(16)]
    assert answers == [200] * 15 + [429]


def test_asking_for_passwords_of_others_is_held_back(member: User) -> None:
    url = reverse("people:password_reset")
    answers = [Client().post(url, {"email": member.email}).status_code for _ in range(4)]
    assert answers == [302, 302, 302, 429]
    assert member.email not in Client().post(url, {"email": member.email}).text


def test_the_old_password_cannot_be_guessed_by_who_found_an_open_browser(member: User) -> None:
    client = Client()
    client.force_login(member)
    data = {
        "old_password": "guess",
        "new_password1": "wet-sand-and-small-77",
        "new_password2": "wet-sand-and-small-77",
    }
    answers = [client.post(reverse("people:password_change"), data).status_code for _ in range(9)]
    assert answers == [200] * 8 + [429]


def test_passwords_offered_for_an_invitation_are_counted(secretary: User) -> None:
    url = reverse("people:invited", args=[invitation_key(make_factors.invited(by=secretary))])
    answers = [Client().post(url, {"name": "x"}).status_code for _ in range(21)]
    assert answers == [200] * 20 + [429]


def test_open_files_come_to_sixty_an_hour_a_person_and_then_the_page_says_when(
    member: User, secretary: User, later: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(limits.LIMITS, "file", "2/3600s/user")
    wanted, takers = {"what": "hunts", "form": "csv"}, [Client(), Client()]
    for taker, user in zip(takers, (member, secretary), strict=True):
        taker.force_login(user)

    def take(client: Client) -> Any:
        with closing(client.post(reverse("doors:open_files"), wanted)) as answer:
            return answer

    first, second, held = (take(takers[0]) for _ in range(3))
    assert (first.status_code, second.status_code, held.status_code) == (200, 200, 429)
    assert 0 < int(held["Retry-After"]) <= 3600
    assert re.search(r"Come back after \d\d:\d\d and take this one then", held.text)
    assert '<option value="csv" selected>' in held.text  # what was chosen stays
    assert AuditEntry.objects.filter(verb="file.take").count() == 2
    assert take(takers[1]).status_code == 200  # another person's count
    later(3601)
    assert take(takers[0]).status_code == 200


def test_the_limit_for_files_leaves_room_for_everything_in_every_format() -> None:
    from doors.files.formats import FORMATS
    from doors.files.offered import OFFERED

    amount = int(limits.LIMITS["file"].partition("/")[0])
    assert amount >= 2 * len(FORMATS) * len(OFFERED)
