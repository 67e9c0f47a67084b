"""Sessions that are given, kept or borrowed, and rights that have ended.

Sources: OWASP WSTG 4.2, WSTG-SESS-03 (session fixation), WSTG-SESS-06 (log-out), WSTG-ATHZ-03 (privilege escalation);
OWASP ASVS 5.0.0, 7.2.4, 7.4.1 and 7.4.2.
"""

from datetime import timedelta

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate

from people.models import Membership, RoleHeld, User
from tests import make
from tests.attacks.ground import Ground

COOKIE = settings.SESSION_COOKIE_NAME


def sign_in(client: Client, user: User) -> None:
    said = {"username": user.email, "login": user.email, "password": make.PASSWORD}
    client.post(reverse("people:sign_in"), said)


def is_signed_in(client: Client) -> bool:
    return client.get(reverse("people:me")).status_code == 200


def planted_session_is_dropped(ground: Ground) -> None:
    """The attacker knows a session's key and plants it in a browser before its owner signs in."""
    attacker = ground.client("anonymous")
    session = attacker.session
    session["x"] = "y"
    session.save()
    known = session.session_key
    assert known is not None
    victim = Client()
    victim.cookies[COOKIE] = known
    sign_in(victim, ground.world.member)
    assert is_signed_in(victim)
    attacker.cookies[COOKIE] = known
    assert not is_signed_in(attacker)


def test_a_planted_session_is_dropped(ground: Ground) -> None:
    planted_session_is_dropped(ground)


@pytest.mark.parametrize(
    "key", ["a" * 32, "../../x", "' OR 1=1", "x" * 4000, "\u0661" * 32, "admin"], ids=ascii
)
def test_a_key_that_we_never_gave_is_none(key: str, ground: Ground) -> None:
    client = ground.client("anonymous")
    client.cookies[COOKIE] = key.encode("ascii", "replace").decode()
    assert not is_signed_in(client)
    assert not Session.objects.filter(session_key=key).exists()


def test_signing_out_ends_the_session_and_not_the_cookie_alone(ground: Ground) -> None:
    client = Client()
    sign_in(client, ground.world.member)
    thief = Client()
    thief.cookies[COOKIE] = client.cookies[COOKIE].value
    assert is_signed_in(thief)
    client.post(reverse("people:sign_out"))
    assert not is_signed_in(thief)


def test_a_new_password_ends_every_other_session(ground: Ground) -> None:
    thief = ground.client("member")
    assert is_signed_in(thief)
    member = ground.world.member
    member.set_password("another-low-water-1362")
    member.save()
    assert not is_signed_in(thief)


def test_an_account_that_is_switched_off_is_out_at_once(ground: Ground) -> None:
    client = ground.client("member")
    User.objects.filter(pk=ground.world.member.pk).update(is_active=False)
    assert not is_signed_in(client)


@pytest.mark.parametrize("page", ["finds:look_list", "people:audit_list", "finds:patterns"])
def test_a_role_that_was_taken_ends_with_the_next_page(page: str, ground: Ground) -> None:
    client = ground.client("committee")
    assert client.get(reverse(page)).status_code == 200
    RoleHeld.objects.filter(user=ground.world.committee).update(ends=localdate())
    assert client.get(reverse(page)).status_code == 403


@pytest.mark.parametrize("name", ["member", "leader", "committee"])
def test_a_membership_that_lapsed_shows_no_find_and_no_place(name: str, ground: Ground) -> None:
    user = ground.people[name]
    client = ground.client(name)
    Membership.objects.filter(user=user).update(ends=localdate() - timedelta(1))
    for find in (ground.world.find, ground.world.locked):
        answer = client.get(reverse("finds:detail", args=[find.pk]))
        assert answer.status_code in {302, 404}  # signed out, or nothing there
        assert find.number not in answer.text


def test_a_cookie_says_nothing_and_no_script_reads_the_session(ground: Ground) -> None:
    client = Client()
    sign_in(client, ground.world.member)
    cookie = client.cookies[COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert not cookie["domain"]
    assert ground.world.member.email not in cookie.value
    assert len(cookie.value) >= 32


def test_the_same_words_for_a_wrong_password_and_for_nobody(ground: Ground) -> None:
    """Whether there is an account, and whether it is switched off, is not said."""
    make.person(email="off@ravensand.example", is_active=False)
    pages = []
    for email in (ground.world.member.email, "nobody@ravensand.example", "off@ravensand.example"):
        said = {"username": email, "login": email, "password": "wrong-low-water"}
        answer = Client().post(reverse("people:sign_in"), said)
        pages.append(
            (answer.status_code, answer.text.replace(email, "x").split("<main", 1)[1].split("csrf")[0])
        )
    assert pages[0] == pages[1] == pages[2]
