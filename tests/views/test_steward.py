"""The steward's walk, looking again, scrap; and what Today says of the field."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate, now

from hunts.models import Hole, Hunt
from people.models import User
from reports.build.visit import visit_report
from tests import make, make_kit

ClientOf = Callable[[User | None], Client]


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    site = make.site(gate_lon=0.150, gate_lat=53.600)
    made = make.hunt(site, leader=leader, state="running", started_at=now())
    make.sign_up(made, member)
    return made


def page(client: Client, name: str, *args: Any) -> str:
    response = client.get(reverse(name, args=args))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def send(client: Client, view: str, *args: Any, **data: Any) -> str:
    response = client.post(reverse(view, args=args), data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_the_walk_goes_from_the_gate_along_a_short_path(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    for step in (4, 1, 3, 2):
        make.hole(hunt, member, lon=0.150 + step * 2e-4, lat=53.6005)
    shown = page(client_of(leader), "hunts:walk", hunt.pk)
    stops = [shown.index(f"Hole {number}</a>") for number in (2, 4, 3, 1)]
    assert stops == sorted(stops)
    assert "40 m from the first to the last" in shown


def test_filled_and_checked_from_the_walk(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    hole, client = make.hole(hunt, member), client_of(leader)
    assert "Hole 1 is filled" in send(client, "hunts:walk_mark", hole.pk, do="fill")
    shown = send(client, "hunts:walk_mark", hole.pk, do="check")
    assert "Every hole you may see is checked" in shown
    assert Hole.objects.get().checked_by == leader


def test_a_leader_checks_no_hole_of_their_own(client_of: ClientOf, leader: User, hunt: Hunt) -> None:
    hole = make.hole(hunt, leader, state="filled", filled_at=now(), filled_by=leader)
    assert "somebody else has to check it" in send(client_of(leader), "hunts:walk_mark", hole.pk, do="check")
    assert Hole.objects.get().state == "filled"


def test_a_locked_hole_gives_no_place_and_stands_at_the_end(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    make.hole(hunt, member, lon=0.15001, lat=53.60001, locked=True)
    make.hole(hunt, member, lon=0.1525, lat=53.6015)
    shown = page(client_of(leader), "hunts:walk", hunt.pk)
    assert shown.index("Hole 2</a>") < shown.index("Hole 1</a>")
    assert "1 at the end has no place shown" in shown
    assert "53.60001" not in shown


def test_the_walk_costs_the_same_for_one_and_twenty(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            page(client_of(leader), "hunts:walk", hunt.pk)
        return len(caught)

    make.hole(hunt, member)
    before = queries()
    for _ in range(20):
        make.hole(hunt, member)
    assert queries() == before


def grass(hunt: Hunt, digger: User, days: int) -> Hole:
    when = now() - timedelta(days)
    return make.hole(hunt, digger, ground="pasture", state="filled", filled_at=when, filled_by=digger)


def test_looking_again_is_on_today_and_the_list(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    hole, client = grass(hunt, member, 30), client_of(leader)
    assert "Look again on grass" in page(client, "today")
    assert "Over four weeks" in page(client, "hunts:recheck_list")
    assert "Say what is wrong with it" in send(client, "hunts:recheck", hole.pk, sound="no")
    assert "Hole 1 is sound" in send(client, "hunts:recheck", hole.pk, sound="yes")
    assert "Nothing to look at again" in page(client, "hunts:recheck_list")


def test_today_names_who_is_out_alone_and_overdue(client_of: ClientOf, leader: User, member: User) -> None:
    make_kit.lone(member, due_back=now() - timedelta(minutes=5))
    assert "Mo Samphire" in page(client_of(leader), "today")
    assert "You are out alone" in page(client_of(member), "today")
    assert "out alone" not in page(client_of(make.person()), "today").lower()


def test_today_names_a_guest_still_out(client_of: ClientOf, leader: User, member: User) -> None:
    hunt = make.hunt(leader=leader, on=make.days(-1), state="running")
    row = make.sign_up(hunt, member)
    make_kit.guest(row, name="Gil Wrack", signed_in_at=now() - timedelta(1), signed_in_by=leader)
    assert "Gil Wrack" in page(client_of(leader), "today")


def test_today_reminds_of_the_battery_and_of_salt(client_of: ClientOf, member: User, hunt: Hunt) -> None:
    kit = make_kit.kit(member, name="Beach one", battery_hours=10)
    make_kit.set_up(hunt, kit, battery_start=100, hours=8)
    make_kit.ground_reading(hunt, kit, environment="wet sand")
    shown = page(client_of(member), "today")
    assert "8 of 10 rated hours are used (80 %)" in shown
    assert "care is due: in salt water or wet sand" in shown


def test_outcomes_and_scrap_are_on_the_hunt_and_in_the_report(
    client_of: ClientOf, leader: User, member: User, hunt: Hunt
) -> None:
    for outcome in ("find", "scrap", "scrap", "stopped"):
        make.hole(hunt, member, outcome=outcome)
    client = client_of(leader)
    assert "Scrap taken away: 4.20 kg" in send(client, "hunts:scrap", hunt.pk, scrap_kg="4.2")
    assert "<dt>Scrap, taken away</dt><dd>2 of 4</dd>" in page(client, "hunts:detail", hunt.pk)
    hunt.refresh_from_db()
    words = str(visit_report(hunt, None, number="V1", on=localdate()).blocks)
    assert "1 find kept; 2 scrap, taken away" in words
    assert "from the whole hunt: 4.2 kg" in words
    assert hunt.scrap_kg == Decimal("4.20")


def test_that_digging_stopped_is_not_for_everybody(client_of: ClientOf, member: User, hunt: Hunt) -> None:
    make.hole(hunt, hunt.leader, outcome="stopped")
    assert "Stopped" not in page(client_of(member), "hunts:detail", hunt.pk)


@pytest.mark.parametrize("typed", ["-1", "much", "10000"])
def test_a_weight_that_cannot_be_is_kept_for_mending(
    client_of: ClientOf, leader: User, hunt: Hunt, typed: str
) -> None:
    assert f'value="{typed}"' in send(client_of(leader), "hunts:scrap", hunt.pk, scrap_kg=typed)
