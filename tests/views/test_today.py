"""Today: what needs each person, the first six of a kind, and no more queries for fifty than for one."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils.timezone import now

from finds.actions.screening import screen_find
from finds.models import CustodyEntry, HandOverItem
from hunts.models import Hole
from people.models import User
from permissions.models import Permission
from reports.actions import landholder_answers
from reports.models import LandholderAnswer
from reports.today import today_for
from reports.today_sections import SHOWN
from tests import make
from tests.today import items_of
from tests.views import custody_world
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db

WHO = ("member", "leader", "secretary", "committee")


standing_world, world = shared_world(build)


def titles(user: User, section: str) -> list[str]:
    return [item.title for item in items_of(user, section)]


def seen_by(world: World, section: str) -> set[str]:
    return {who for who in WHO if titles(world.reader(who), section)}


def lapse_insurance(user: User) -> None:
    user.insurances.update(ends=make.days(-1))


def still_out(world: World) -> None:
    type(world.hunt).objects.filter(pk=world.hunt.pk).update(on=make.days(-1))


def insurance(world: World) -> None:
    coming = make.hunt(world.site, leader=world.leader, permission_=world.permission, on=make.days(9))
    make.sign_up(coming, world.member)
    lapse_insurance(world.member)


def consent_ends(world: World) -> None:
    world.permission.consents.update(ends=make.days(10))


def paused(world: World) -> None:
    Permission.objects.filter(pk=world.permission.pk).update(state="paused", paused_why="lambing")


def report_due(world: World) -> None:
    make.hunt(world.site, leader=world.leader, permission_=world.permission, state="closed", on=make.days(-9))


def due_back(world: World) -> None:
    CustodyEntry.objects.create(
        find=world.find,
        step=7,
        at=now(),
        recorded_by=world.secretary,
        to_holder="officer",
        to_name="Ida Drift",
        purpose="recording",
        due_back=make.days(-2),
    )


def hand_over_waits(world: World) -> None:
    custody_world.waiting(world)


def not_received(world: World) -> None:
    row = custody_world.waiting(world)
    HandOverItem.objects.filter(hand_over=row).update(state="missing", why="not in the bag")


def box_asks(world: World) -> None:
    custody_world.box(world)


def question(world: World) -> None:
    find = make.find(world.hunt, world.member, object_type="mount")
    screen_find(find, by=world.member, at=now())


def own_papers(world: World) -> None:
    for who in WHO:
        lapse_insurance(world.reader(who))


def nothing(world: World) -> None:
    """The world has it already."""


# section, what brings it about, who sees it
SECTIONS = [
    ("Still out", still_out, {"leader", "secretary"}),
    ("Clocks running", nothing, {"member", "leader", "committee"}),
    ("Landholders waiting for an answer", nothing, {"secretary"}),
    ("Questions about my finds", question, {"member"}),
    ("Holes not filled", nothing, {"member", "leader", "secretary", "committee"}),
    ("Permissions and consents", consent_ends, {"secretary"}),
    ("Permissions and consents", paused, {"secretary"}),
    ("Insurance before hunts", insurance, {"leader", "secretary"}),
    ("Visit reports that are late", report_due, {"leader", "secretary"}),
    ("Due back", due_back, {"secretary", "committee"}),
    ("Hand-overs waiting for the receiver", hand_over_waits, {"secretary", "committee"}),
    ("Handed over but not received", not_received, {"secretary", "committee"}),
    ("Storage boxes to look at", box_asks, {"secretary", "committee"}),
    ("My papers", own_papers, {"member", "leader", "secretary", "committee"}),
    ("Next hunts", nothing, {"member", "leader", "secretary", "committee"}),
]


@pytest.mark.parametrize(("section", "brings", "readers"), SECTIONS)
def test_each_section_reaches_those_who_can_act_on_it(
    world: World, section: str, brings, readers: set[str]
) -> None:
    brings(world)
    assert seen_by(world, section) == readers


def test_a_person_whose_membership_lapsed_sees_how_to_come_back(world: World, client: Client) -> None:
    client.force_login(world.stranger)
    text = client.get("/").text
    assert "Your membership does not cover today" in text
    assert world.hunt.title not in text


def test_a_hole_that_is_filled_needs_nobody(world: World) -> None:
    Hole.objects.update(state="filled", filled_at=now(), filled_by=world.member)
    assert seen_by(world, "Holes not filled") == set()


def test_members_are_told_of_their_own_holes_only(world: World) -> None:
    make.hole(world.hunt, world.leader)
    assert len(titles(world.member, "Holes not filled")) == 1
    assert len(titles(world.leader, "Holes not filled")) == 2


def test_insurance_is_judged_on_the_day_of_the_hunt(world: World) -> None:
    coming = make.hunt(world.site, leader=world.leader, permission_=world.permission, on=make.days(9))
    make.sign_up(coming, world.member)
    for ends, is_named in ((8, True), (9, False)):
        world.member.insurances.update(ends=make.days(ends))
        assert bool(titles(world.leader, "Insurance before hunts")) is is_named


def test_a_concern_that_was_answered_waits_no_longer(world: World, client: Client) -> None:
    client.force_login(world.secretary)
    client.post(f"/answers/{world.answer.pk}/settle/", {"words": "the gate is mended"})
    assert seen_by(world, "Landholders waiting for an answer") == set()


def concerns(world: World, count: int) -> None:
    for _ in range(count):
        landholder_answers(
            world.link, LandholderAnswer.What.CONCERN, via="link", at=now(), client_id=uuid4(), words="a gate"
        )


@pytest.mark.parametrize(("count", "more"), [(5, ""), (6, "and 1 more"), (30, "and 25 more")])
def test_a_long_section_shows_six_and_says_how_many_more(
    world: World, client: Client, count: int, more: str
) -> None:
    concerns(world, count)  # the world has one already
    client.force_login(world.secretary)
    text = client.get("/").text
    assert text.count("raised a concern") == min(count + 1, SHOWN)
    assert (f'<a href="/answers/">{more or "and"}' in text) is bool(more)


@pytest.mark.once
def test_fifty_of_each_ask_the_database_no_oftener_than_one(world: World) -> None:
    for brings in (still_out, insurance, report_due, due_back, question):
        brings(world)
    people = [User.objects.get(pk=world.reader(who).pk) for who in WHO]

    def asked() -> list[int]:
        counts = []
        for person in people:
            with CaptureQueriesContext(connection) as queries:
                groups = today_for(person, at=now())
            counts.append(
                len(queries) - sum(group.more > 0 for group in groups)
            )  # what is cut short is counted
        return counts

    asked()  # rights are worked out once a request
    one = asked()
    concerns(world, 49)
    Hole.objects.bulk_create(
        Hole(
            hunt=world.hunt,
            site=world.site,
            number=100 + n,
            digger=world.member,
            dug_at=now() - timedelta(hours=1),
            depth_cm=10,
            outcome="iron",
        )
        for n in range(49)
    )
    for _ in range(SHOWN + 2):
        report_due(world)
        question(world)
        insurance(world)
    assert all(many <= few for many, few in zip(asked(), one, strict=True))
