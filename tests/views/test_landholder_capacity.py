"""Several landholders of one site: each page shows what the capacity allows, and nothing of the others."""

import html
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from finds.models import Case, CustodyEntry, Find
from hunts.models import TrackCover
from permissions.links import key_of
from permissions.models import LandholderLink, SiteParty
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db


def arranged() -> World:
    """The world's hunt is over; one hole is filled, a find is with the officer, and a new hunt is planned."""
    world = build()
    type(world.hunt).objects.filter(pk=world.hunt.pk).update(
        state="closed", closed_at=now(), damage="a rut by the gate"
    )
    type(world.hole).objects.filter(pk=world.hole.pk).update(state="filled", filled_at=now())
    coming = make.hunt(
        world.site, leader=world.leader, on=make.days(9), title="Next walk", permission_=world.permission
    )
    make.sign_up(coming, world.member)
    return world


standing_world, world = shared_world(arranged)


def hand(find: Find, holder: str, name: str, **fields: Any) -> None:
    step = CustodyEntry.objects.filter(find=find).count() + 1
    CustodyEntry.objects.create(
        find=find, step=step, at=now(), to_holder=holder, to_name=name, purpose="recording", **fields
    )


def text_for(world: World, capacity: str, **fields: Any) -> str:
    """The page of a second landholder with this capacity over the same field."""
    other = make.landholder(name="Bo Wold")
    SiteParty.objects.create(site=world.site, landholder=other, capacity=capacity, **fields)
    return text_of(make_link(world, other))


def make_link(world: World, landholder: Any) -> LandholderLink:
    return LandholderLink.objects.create(
        landholder=landholder, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(9)
    )


def text_of(link: LandholderLink) -> str:
    return html.unescape(Client().get(reverse("reports:landholder", args=[key_of(link)])).text)


@pytest.mark.parametrize(
    ("capacity", "shown", "hidden"),
    [
        (
            "owner",
            "Next walk|1 of at most 10|hole is filled|a rut by|Where we have been|{find}|come again",
            "",
        ),
        ("occupier", "Next walk|Len Groyne|hole is filled|a rut by|Where we have been|{find}|come again", ""),
        (
            "sporting_tenant",
            "Next walk|Len Groyne|hole is filled",
            "a rut by|Where we have been|{find}|come again|Found at",
        ),
        (
            "informed_only",
            "Next walk|09:00 to 16:00",
            "Len Groyne|hole is filled|a rut by|Where we have been|{find}|come again|Found at",
        ),
    ],
)
def test_each_capacity_reads_its_part(world: World, capacity: str, shown: str, hidden: str) -> None:
    text = text_for(world, capacity)
    for words in shown.format(find=world.find.number).split("|"):
        assert words in text
    for words in filter(None, hidden.format(find=world.find.number).split("|")):
        assert words not in text
    assert "Ada Warp" not in text.replace("with the landholder", "")


def test_an_agent_sees_what_the_principal_sees(world: World) -> None:
    assert world.find.number in text_for(world, "agent", acts_for=world.landholder)


def test_an_agent_whose_principal_has_gone_sees_days_only(world: World) -> None:
    world.site.parties.update(until=make.days(-1))
    text = text_for(world, "agent", acts_for=world.landholder)
    assert "Next walk" in text
    assert "Len Groyne" not in text


@pytest.mark.parametrize("capacity", ["sporting_tenant", "informed_only"])
def test_only_who_decides_can_invite_the_club(world: World, capacity: str) -> None:
    world.site.parties.update(capacity=capacity)
    url = reverse("reports:landholder_invite", args=[key_of(world.link)])
    assert Client().post(url, {"words": "in August"}).status_code == 403
    assert not world.landholder.answers.filter(what="invited").exists()


@pytest.mark.parametrize(
    ("name", "capacity", "status"),
    [
        ("landholder_report", "occupier", 200),
        ("landholder_report", "sporting_tenant", 404),
        ("landholder_report_pdf", "informed_only", 404),
    ],
)
def test_a_report_with_finds_is_for_those_who_see_finds(
    world: World, name: str, capacity: str, status: int
) -> None:
    world.site.parties.update(capacity=capacity)
    url = reverse(f"reports:{name}", args=[key_of(world.link), world.returns.pk])
    assert Client().get(url).status_code == status


def test_where_each_thing_is_and_when_it_comes_back(world: World) -> None:
    hand(world.find, "officer", "Dee Fleet", due_back=make.days(20))
    text = text_of(world.link)
    assert f"With the heritage officer, Dee Fleet; expected back by {make.days(20):%-d %B %Y}" in text
    hand(world.find, "museum", "Haven Museum", due_back=make.days(-2))
    assert "should have been back by" in text_of(world.link)
    hand(world.find, "buyer", "Kit Drove")
    text = text_of(world.link)
    assert "Sold as agreed" in text
    assert "Kit Drove" not in text
    hand(world.find, "landholder", "Ada Warp")
    assert "With you" in text_of(world.link)
    assert "With the landholder" in text_for(world, "occupier")


def test_what_is_reported_is_told_in_words_and_never_where(world: World) -> None:
    Case.objects.filter(pk=world.case.pk).update(state="reported", reported_on=make.days(-3))
    text = text_of(world.link)
    assert f"Reported to the authority on {make.days(-3):%-d %B %Y}" in text
    assert "pennies" in text


def test_a_place_is_told_by_the_terms_and_never_while_locked(world: World) -> None:
    assert text_of(world.link).count("Found at") == 1  # the locked ones say nothing
    type(world.permission).objects.update(findspots_to_landholder=False)
    assert "Found at" not in text_of(world.link)


def test_an_old_visit_is_one_tap_away_and_a_find_still_away_is_not(world: World) -> None:
    old = make.hunt(world.site, leader=world.leader, on=make.days(-500), title="Long ago", state="closed")
    home, away = make.find(old, world.member), make.find(old, world.member)
    hand(home, "landholder", "Ada Warp")
    hand(away, "museum", "Haven Museum")
    text = text_of(world.link)
    assert "Long ago" not in text
    assert home.number not in text
    assert away.number in text
    url = reverse("reports:landholder", args=[key_of(world.link)]) + "?show=all"
    everything = Client().get(url).text
    assert "Long ago" in everything
    assert home.number in everything


def test_photographs_of_finds_are_for_those_who_see_finds(world: World) -> None:
    url = reverse("reports:landholder_find_photo", args=[key_of(world.link), world.photo.pk, "small"])
    response = Client().get(url)
    assert b"".join(response.streaming_content).startswith(b"\xff\xd8")
    assert response["Referrer-Policy"] == "no-referrer"
    theirs = make.find_photo(make.find(make.hunt(leader=world.leader), world.member))
    other = reverse("reports:landholder_find_photo", args=[key_of(world.link), theirs.pk, "small"])
    assert Client().get(other).status_code == 404
    assert Client().get(url.replace("small", "original")).status_code == 404
    world.site.parties.update(capacity="sporting_tenant")
    assert Client().get(url).status_code == 404


def test_open_holes_are_said_to_be_open(world: World) -> None:
    make.hole(world.hunt, world.member)
    assert "1 of 2 holes not filled yet" in text_of(world.link)


def test_the_map_hides_locked_holes_and_the_tracks_of_a_visit_with_a_locked_find(world: World) -> None:
    context = Client().get(reverse("reports:landholder", args=[key_of(world.link)])).context
    assert "is not drawn until that is settled" in context["map"].caption
    assert world.find.number in context["map"].svg
    assert world.locked.number not in context["map"].svg
    Find.objects.update(locked=False)
    context = Client().get(reverse("reports:landholder", args=[key_of(world.link)])).context
    assert "is not drawn" not in context["map"].caption
    assert not TrackCover.objects.exists()


def test_the_page_asks_as_often_for_fifty_visits_as_for_one(
    world: World, django_assert_max_num_queries: Any
) -> None:
    url = reverse("reports:landholder", args=[key_of(world.link)])
    with CaptureQueriesContext(connection) as few:
        Client().get(url)
    for number in range(12):
        hunt = make.hunt(
            world.site,
            leader=world.leader,
            permission_=world.permission,
            state="closed",
            on=make.days(-number),
        )
        make.hole(hunt, world.member)
        make.find_photo(make.find(hunt, world.member))
        make.hunt(world.site, leader=world.leader, permission_=world.permission, on=make.days(number))
    with django_assert_max_num_queries(len(few)):
        Client().get(url)
