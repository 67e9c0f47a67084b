"""Keys of other programs: made once, shown once, never more than their owner's rights today, and ended in every way."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate, now

from doors.actions import TooManyKeysError, make_token, note_use, revoke_token
from doors.models import AccessToken, Purpose
from doors.tokens import MOST_LIVE, TokenError, digest_of, open_token
from keeping.retention import RULES
from people import limits
from people.actions import end_sessions
from people.models import AuditEntry, Membership, RoleHeld, User
from people.rights import Role
from tests import make, make_factors
from tests.doors_world import key_for

pytestmark = pytest.mark.django_db
FINDS = "/open/collections/finds/items"


def ask(key: str, address: str = FINDS, **headers: str) -> Any:
    return Client().get(address, headers={"Authorization": f"Bearer {key}"} | headers)


def sent(client: Client, **fields: Any) -> Any:
    values = {
        "label": "map on my desk",
        "collections": ["finds"],
        "days": "90",
        "client_id": str(uuid4()),
    } | fields
    return client.post(reverse("doors:key_new"), values)


def key_in(answer: Any) -> str:
    return str(answer.context["key"])


def test_a_key_is_shown_once_and_kept_as_its_hash(member: User, client_of: Any) -> None:
    client, form = client_of(member), {"client_id": str(uuid4())}
    made = sent(client, **form)
    key = key_in(made)
    assert key in made.text
    assert made["Cache-Control"] == "private, no-store"
    token = AccessToken.objects.get()
    assert token.digest == digest_of(key)
    assert key not in str(AccessToken.objects.values().get())
    again = sent(client, **form)
    assert again.context["key"] is None
    assert "sent twice" in again.text
    assert AccessToken.objects.count() == 1
    assert key not in client.get(reverse("doors:key_list")).text
    (entry,) = AuditEntry.objects.filter(verb="key.make")
    assert key not in str(entry.changes)
    assert entry.changes["opens"] == "finds"


def test_a_key_opens_what_was_ticked_and_nothing_else(member: User) -> None:
    key = key_for(member, collections=["hunts"])
    listed = ask(key, "/open/collections").json()["collections"]
    assert [each["id"] for each in listed] == ["hunts"]
    assert ask(key, "/open/collections/hunts/items").status_code == 200
    for address in ("/open/collections/finds", FINDS, "/open/collections/finds/items/1"):
        assert ask(key, address).status_code == 404
    for page in ("today", "doors:key_list", "finds:list", "finds:export_csv"):
        assert "sign-in" in ask(key, reverse(page))["Location"]  # a key opens no page of the program


def test_a_key_stands_in_the_header_and_in_no_address(member: User) -> None:
    key = key_for(member)
    assert ask(key).status_code == 200
    for name in ("token", "key", "access_token", "api_key"):
        assert Client().get(FINDS, {name: key}).status_code == 401
    for value in (
        key,
        f"Basic {key}",
        f"Token {key}",
        "Bearer",
        "Bearer ",
        f"Bearer {key}x",
        f"Bearer {key.upper()}",
    ):
        answer = Client().get(FINDS, headers={"Authorization": value})
        assert answer.status_code == 401, value
        assert (
            answer["WWW-Authenticate"] == 'Bearer realm="club records", error="invalid_token"'
        )  # RFC 6750, section 3
    assert Client().get(FINDS)["WWW-Authenticate"] == 'Bearer realm="club records"'


def test_a_wrong_key_is_no_sign_in_even_beside_one(member: User, client_of: Any) -> None:
    client = client_of(member)
    assert client.get(FINDS).status_code == 200
    assert client.get(FINDS, headers={"Authorization": "Bearer sbk_wrong"}).status_code == 401


def lapse(token: AccessToken) -> None:
    Membership.objects.filter(user=token.user).update(ends=localdate() - timedelta(1))


ENDINGS = {
    "the membership lapsed": lapse,
    "the account is off": lambda token: User.objects.filter(pk=token.user_id).update(is_active=False),
    "its time is over": lambda token: AccessToken.objects.filter(pk=token.pk).update(
        made_at=now() - timedelta(9), expires_at=now()
    ),
    "it was ended": lambda token: revoke_token(token.pk, by=token.user, at=now()),
    "signed out everywhere": lambda token: end_sessions(
        token.user_id, why="lost", by=token.user, via="", at=now()
    ),
}


@pytest.mark.parametrize("how", ENDINGS)
def test_a_key_ends_at_once_when(how: str, member: User) -> None:
    key = key_for(member)
    assert ask(key).status_code == 200
    ENDINGS[how](AccessToken.objects.select_related("user").get())
    answer = ask(key)
    assert answer.status_code == 401
    assert answer.json()["description"] == ask("sbk_never-was-one").json()["description"]


def test_a_key_has_the_rights_of_today(member: User, leader: User) -> None:
    """Made as a member: what a role gives or takes later, the key gives or takes."""
    key, hunt = key_for(member), make.hunt(leader=leader)
    make.find(hunt, leader)
    assert {each["properties"]["precision"] for each in ask(key).json()["features"]} == {"1 km square"}
    role = RoleHeld.objects.create(user=member, role=Role.COMMITTEE, starts=localdate())
    assert {each["properties"]["precision"] for each in ask(key).json()["features"]} == {"full"}
    role.delete()
    assert {each["properties"]["precision"] for each in ask(key).json()["features"]} == {"1 km square"}


def test_who_needs_two_factors_and_has_one_reaches_nothing_by_a_key(secretary: User, settings: Any) -> None:
    settings.SECOND_FACTOR_REQUIRED = True
    key = key_for(secretary)
    assert ask(key).status_code == 401
    make_factors.app(secretary)
    assert ask(key).status_code == 200


def test_a_new_key_asks_again_who_it_is_after_ten_minutes(member: User, client_of: Any) -> None:
    client = client_of(member)
    session = client.session
    session["signed_in_at"] = (now() - timedelta(minutes=11)).timestamp()
    session.save()
    for asked in (client.get(reverse("doors:key_new")), sent(client)):
        assert asked["Location"].startswith(reverse("account_reauthenticate"))
    assert not AccessToken.objects.exists()


def test_what_is_wrong_in_the_form_is_said_and_kept(member: User, client_of: Any) -> None:
    answer = sent(client_of(member), collections=[], days="4000", label="desk")
    assert answer.status_code == 200
    assert "a key that reads nothing is no key" in answer.text
    assert 'value="desk"' in answer.text
    assert "4000 is not one of the available choices" in answer.text


def test_no_key_lasts_longer_than_a_year_and_nobody_has_more_than_twenty(member: User) -> None:
    at = now()
    token, _ = make_token(
        by=member,
        at=at,
        client_id=uuid4(),
        label="x",
        purpose=Purpose.CALENDAR,
        days=4000,
        collections=["finds"],
    )
    assert token.expires_at == at + timedelta(365)
    assert token.scope == ""  # a key that stands in an address opens no records
    for _ in range(MOST_LIVE - 1):
        key_for(member)
    with pytest.raises(TooManyKeysError, match="20 keys"):
        key_for(member)


def test_keys_are_their_owners_alone(member: User, leader: User, stranger: User, client_of: Any) -> None:
    key_for(member)
    token = AccessToken.objects.get()
    other = client_of(leader)
    assert "map program" not in other.get(reverse("doors:key_list")).text
    assert other.post(reverse("doors:key_end", args=[token.pk])).status_code == 404
    with pytest.raises(PermissionDenied):
        revoke_token(token.pk, by=leader, at=now())
    with pytest.raises(PermissionDenied):
        key_for(stranger)
    assert sent(other, client_id=str(token.client_id)).status_code == 403
    mine = client_of(member)
    assert mine.post(reverse("doors:key_end", args=[token.pk])).status_code == 302
    assert "Ended by you" in mine.get(reverse("doors:key_list")).text


def test_a_key_of_one_purpose_opens_nothing_of_the_other(member: User) -> None:
    asked: dict[str, Any] = {
        "by": member,
        "at": now(),
        "label": "phone",
        "purpose": Purpose.CALENDAR,
        "days": 9,
    }
    _token, key = make_token(client_id=uuid4(), **asked)
    assert key is not None
    assert ask(key).status_code == 401
    assert open_token(key, Purpose.CALENDAR, at=now()).user == member
    with pytest.raises(TokenError):
        open_token(key_for(member), Purpose.CALENDAR, at=now())


def test_the_day_of_use_is_written_once_a_day(member: User) -> None:
    key = key_for(member)
    token = AccessToken.objects.get()
    assert token.last_used_on is None
    ask(key)
    token.refresh_from_db()
    assert token.last_used_on == localdate()
    assert note_use(token.pk, via="key", on=localdate()) is False
    assert note_use(token.pk, via="key", on=localdate() + timedelta(1)) is True


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(limits.LIMITS, "open", "2/60s/key")
    monkeypatch.setitem(limits.LIMITS, "key", "2/600s/ip")


@pytest.mark.usefixtures("few")
def test_too_many_questions_wait_each_key_by_itself(member: User, leader: User) -> None:
    mine, other = key_for(member), key_for(leader)
    assert [ask(mine).status_code for _ in range(3)] == [200, 200, 429]
    held = ask(mine)
    assert 1 <= int(held["Retry-After"]) <= 60  # RFC 9110, section 10.2.3
    assert held.json()["code"] == "TooManyRequests"
    assert ask(other).status_code == 200


@pytest.mark.usefixtures("few")
def test_after_too_many_wrong_keys_none_is_looked_up(member: User) -> None:
    key = key_for(member)
    assert [ask(f"sbk_{number}").status_code for number in range(3)] == [401, 401, 429]
    assert ask(key).status_code == 429  # from this address
    assert (
        Client(REMOTE_ADDR="192.0.2.9").get(FINDS, headers={"Authorization": f"Bearer {key}"}).status_code
        == 200
    )


def test_somebody_in_front_of_a_page_is_sent_to_sign_in(member: User, client_of: Any) -> None:
    answer = Client().get("/open/collections?f=html", headers={"Accept": "text/html"})
    assert answer["Location"].startswith(reverse("people:sign_in"))
    assert "next=/open/collections" in answer["Location"]
    page = client_of(member).get("/open/collections/finds/items?limit=x", headers={"Accept": "text/html"})
    assert page.status_code == 400
    assert "“x” is not a value for limit" in page.text


def test_a_key_that_ended_a_year_ago_is_tidied_away(member: User) -> None:
    key_for(member)
    (rule,) = [rule for rule in RULES if rule.key == "program_keys"]
    token = AccessToken.objects.get()
    assert not rule.rows(token.expires_at + timedelta(364)).exists()
    assert rule.rows(token.expires_at + timedelta(365)).get() == token
    revoke_token(token.pk, by=member, at=now())
    assert rule.rows(now() + timedelta(366)).get() == token
