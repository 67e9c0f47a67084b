"""How long a sign-in lasts, what ends it, and where one is signed in."""

from datetime import timedelta
from typing import Any

import pytest
from allauth.usersessions.models import UserSession
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from keeping.retention import RULES
from people.models import Membership, User
from people.rights import Role
from people.session_rules import MEMBERS, TRUSTED
from tests import make
from tests.views.keys import is_in, sign_in, sign_in_quickly, verbs

pytestmark = pytest.mark.django_db

# How long a sign-in lasts


def aged(client: Client, *, since: timedelta, seen: timedelta) -> Client:
    session = client.session
    session["signed_in_at"], session["seen_at"] = ((now() - span).timestamp() for span in (since, seen))
    session.save()
    return client


MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("role", "limits"), [(Role.MEMBER, MEMBERS), (Role.SECRETARY, TRUSTED), (Role.COMMITTEE, TRUSTED)]
)
def test_a_sign_in_ends_after_its_time_and_when_it_was_not_used(role: Role, limits: Any) -> None:
    person = make.person(role)
    for since, seen, goes_on in (
        (limits.in_all - MINUTE, MINUTE, True),
        (limits.in_all, MINUTE, False),
        (limits.idle, limits.idle - MINUTE, True),
        (limits.idle, limits.idle, False),
    ):
        client = aged(sign_in_quickly(person), since=since, seen=seen)
        assert is_in(client) is goes_on
    assert "Please sign in again" in client.get(reverse("people:sign_in")).text
    assert verbs() == ["account.session_over"] * 2


def test_a_sign_of_life_is_written_down_now_and_then(member: User, django_assert_num_queries: Any) -> None:
    client = sign_in(member)
    row = UserSession.objects.get()
    aged(client, since=timedelta(hours=2), seen=timedelta(hours=1))
    UserSession.objects.update(last_seen_at=now() - timedelta(hours=1))
    assert is_in(client)
    row.refresh_from_db()
    assert now() - row.last_seen_at < MINUTE
    UserSession.objects.update(last_seen_at=now() - timedelta(hours=1))
    assert is_in(client)
    row.refresh_from_db()
    assert now() - row.last_seen_at > MINUTE  # a page does not cost a write


def test_a_sign_in_ends_the_day_the_membership_does_and_what_was_recorded_stays(member: User) -> None:
    hunt = make.hunt()
    make.hole(hunt, member)
    client = sign_in(member)
    Membership.objects.filter(user=member).update(ends=make.days(-1))
    assert "Your membership does not cover today" in client.get("/").text
    assert client.get("/").status_code == 302
    assert hunt.holes.filter(digger=member).count() == 1
    assert "account.session_over" in verbs()
    assert is_in(sign_in(member))  # to read and change what is their own


def test_a_sign_in_ends_with_a_role(secretary: User, leader: User) -> None:
    theirs = sign_in_quickly(leader)
    sign_in_quickly(secretary).post(reverse("people:role_take", args=[leader.roles_held.get().pk]))
    assert not is_in(theirs)
    assert is_in(sign_in(leader))


# Where one is signed in


def test_one_sees_where_one_is_signed_in_and_ends_one_or_all_others(member: User, leader: User) -> None:
    here, phone, desk, other = sign_in(member), sign_in(member), sign_in(member), sign_in(leader)
    text = here.get(reverse("people:session_list")).text
    assert text.count("Chrome on Android") >= 3
    assert text.count("this one") == 1
    row = UserSession.objects.get(session_key=phone.session.session_key)
    here.post(reverse("people:session_end", args=[row.pk]))
    assert (is_in(here), is_in(phone), is_in(desk)) == (True, False, True)
    foreign = UserSession.objects.get(session_key=other.session.session_key)
    assert "over already" in here.post(reverse("people:session_end", args=[foreign.pk]), follow=True).text
    here.post(reverse("people:sessions_end"))
    assert (is_in(here), is_in(desk), is_in(other)) == (True, False, True)
    assert UserSession.objects.purge_and_list(member) == [
        UserSession.objects.get(session_key=here.session.session_key)
    ]


def test_the_lists_are_tidied(member: User) -> None:
    sign_in(member)
    (rule,) = [rule for rule in RULES if rule.key == "sign_ins"]
    assert rule.rows(now()).count() == 0
    Session.objects.all().delete()
    assert rule.rows(now()).count() == 1
