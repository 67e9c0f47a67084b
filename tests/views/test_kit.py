"""The pages of a person's kit, and what they learn from their own holes."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localdate, localtime, now

from hunts.models import BenchTest, CareTick, GroundReading, Hunt, Kit, SetUp
from people.models import User
from tests import make, make_kit

ClientOf = Callable[[User | None], Client]


def page(client: Client, name: str, *args: Any, **query: Any) -> str:
    response = client.get(reverse(f"hunts:{name}", args=args), query)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def send(client: Client, view: str, *args: Any, **data: Any) -> str:
    response = client.post(reverse(f"hunts:{view}", args=args), data, follow=True)
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def today_at(hours_ago: float) -> str:
    """A time today as a form sends it, never in the future and never yesterday."""
    when = localtime(now() - timedelta(hours=hours_ago))
    return max(when, localtime().replace(hour=0, minute=0)).strftime("%Y-%m-%dT%H:%M")


@pytest.fixture
def hunt(leader: User, member: User) -> Hunt:
    made = make.hunt(leader=leader, state="running", started_at=now())
    make.attendance(made, member)
    return made


def test_a_machine_is_added_and_shown(client_of: ClientOf, member: User) -> None:
    client = client_of(member)
    shown = send(
        client, "kit_add", name="Beach one", coil_shape="dd long", coil_length_cm="28", battery_hours="12"
    )
    assert "<h1>Beach one</h1>" in shown
    assert "Beach one" in page(client, "kit_list")


@pytest.mark.parametrize(
    ("length", "words"), [("0", "greater than or equal to 5"), ("-3", "greater than"), ("x", "number")]
)
def test_an_impossible_coil_keeps_what_was_typed(
    client_of: ClientOf, member: User, length: str, words: str
) -> None:
    shown = send(client_of(member), "kit_add", name="Odd", coil_shape="dd long", coil_length_cm=length)
    assert words in shown
    assert f'value="{length}"' in shown
    assert not Kit.objects.exists()


def test_logging_a_set_up_starts_from_the_last_one(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    kit, client = make_kit.kit(member), client_of(member)
    data = {
        "kit": kit.pk,
        "mode": "Field 2",
        "sensitivity": "21",
        "set_at": today_at(1),
        "battery_start": "100",
    }
    assert "The set-up is kept" in send(client, "set_up_log", hunt.pk, **data)
    assert 'value="Field 2"' in page(client, "set_up_log", hunt.pk)
    assert "sensitivity 21" in page(client, "detail", hunt.pk)


def test_without_a_machine_the_way_leads_to_adding_one(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    response = client_of(member).get(reverse("hunts:set_up_log", args=[hunt.pk]))
    assert response["Location"] == reverse("hunts:kit_add")


def test_a_battery_that_rises_is_questioned(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    kit = make_kit.kit(member)
    data = {"kit": kit.pk, "mode": "F", "set_at": today_at(1), "battery_start": "40", "battery_end": "90"}
    assert "90 % at the end is more than 40 %" in send(client_of(member), "set_up_log", hunt.pk, **data)
    assert not SetUp.objects.exists()


def test_a_change_of_ground_is_nudged_on_the_hunts_page(
    client_of: ClientOf, hunt: Hunt, member: User
) -> None:
    make_kit.ground_reading(
        hunt, make_kit.kit(member), environment="dry sand", read_at=now() - timedelta(minutes=9)
    )
    make.hole(hunt, member, ground="wet sand", dug_at=now() - timedelta(minutes=2))
    assert "From dry to wet salt sand" in page(client_of(member), "detail", hunt.pk)


def test_a_hole_on_clay_within_arable_is_no_change(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    make_kit.ground_reading(
        hunt, make_kit.kit(member), environment="clay", read_at=now() - timedelta(minutes=9)
    )
    make.hole(hunt, member, ground="stubble", dug_at=now() - timedelta(minutes=2))
    assert "balance again" not in page(client_of(member), "detail", hunt.pk)


def test_a_ground_reading_keeps_its_own_scale(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    kit = make_kit.kit(member)
    data = {"kit": kit.pk, "environment": "wet sand", "value": "7.5", "scale": "phase 0 to 99"}
    assert "is kept" in send(client_of(member), "ground_log", hunt.pk, read_at=today_at(0.1), **data)
    make_kit.ground_reading(hunt, kit, environment="wet sand", value=412, scale="coarse 0 to 999")
    shown = page(client_of(member), "kit_detail", kit.pk)
    assert shown.count("Wet salt sand") == 2  # one row a scale: never one range over both
    assert GroundReading.objects.get(scale="phase 0 to 99").value == 7.5


def test_salt_water_asks_for_care_and_ticks_it(client_of: ClientOf, hunt: Hunt, member: User) -> None:
    kit, client = make_kit.kit(member), client_of(member)
    make_kit.ground_reading(hunt, kit, environment="water")
    assert "After salt water" in page(client, "kit_detail", kit.pk)
    data = {"salt-tasks": ["rinse", "dry"], "salt-done_on": localdate().isoformat()}
    assert "Ticked: 2." in send(client, "kit_care", kit.pk, "salt", **data)
    assert CareTick.objects.count() == 2
    assert "Nothing is ticked" in send(client, "kit_care", kit.pk, "salt", **{"salt-done_on": localdate()})


def test_care_that_is_not_due_is_not_there(client_of: ClientOf, member: User) -> None:
    kit = make_kit.kit(member)
    assert client_of(member).post(reverse("hunts:kit_care", args=[kit.pk, "salt"])).status_code == 404
    assert client_of(member).post(reverse("hunts:kit_care", args=[kit.pk, "moon"])).status_code == 404


def test_a_bench_pass_leads_to_the_next_item_with_the_rest_kept(client_of: ClientOf, member: User) -> None:
    kit, client = make_kit.kit(member), client_of(member)
    data = {"item": "nail", "heard": "yes", "first": "-4", "second": "3", "third": "5", "distance_cm": "10"}
    response = client.post(
        reverse("hunts:kit_bench", args=[kit.pk]), data | {"orientation": "edge", "mode": "Field 2"}
    )
    assert response.status_code == 302
    form = client.get(response["Location"]).context["form"]
    assert form["item"].value() == "foil"
    assert (form["mode"].value(), form["distance_cm"].value()) == ("Field 2", "10")
    assert BenchTest.objects.get().summary == {"min": -4, "median": 3, "max": 5}


def test_not_heard_with_a_number_is_questioned(client_of: ClientOf, member: User) -> None:
    kit = make_kit.kit(member)
    data = {
        "item": "nail",
        "heard": "no",
        "first": "4",
        "distance_cm": "8",
        "orientation": "face",
        "mode": "F",
    }
    assert "It was not heard, yet there are readings" in send(client_of(member), "kit_bench", kit.pk, **data)
    assert not BenchTest.objects.exists()


@pytest.fixture
def season(hunt: Hunt, member: User) -> Kit:
    """Finds at 70 and iron at 15 in one mode, a set-up before them, a bench that knows nail and coin."""
    kit = make_kit.kit(member)
    make_kit.set_up(hunt, kit, set_at=now() - timedelta(hours=5))
    for number in range(12):
        make.hole(hunt, member, target_id=70 + number % 3, outcome="find", dug_at=now() - timedelta(hours=1))
        make.hole(hunt, member, target_id=15 + number % 3, outcome="iron", dug_at=now() - timedelta(hours=1))
    make_kit.bench(kit, "nail", 12, 14, 16)
    make_kit.bench(kit, "large copper", 70, 72, 74)
    return kit


def test_readings_stand_beside_what_was_dug(client_of: ClientOf, member: User, season: Kit) -> None:
    shown = page(client_of(member), "kit_readings", season.pk)
    assert "At 43 and above 12 of 12 holes were worth keeping, below it 0 of 12" in shown
    assert "the number does tell something" in shown
    assert "Large copper coin" in shown
    assert "<svg" in shown
    assert "70 to 74" in shown
    assert "fewer than ten are too few to judge" in shown


def test_modes_are_never_mixed(client_of: ClientOf, member: User, hunt: Hunt, season: Kit) -> None:
    make_kit.set_up(hunt, season, mode="Beach", set_at=now() - timedelta(minutes=30))
    make.hole(hunt, member, target_id=33, outcome="find", dug_at=now() - timedelta(minutes=5))
    assert "30 to 34" not in page(client_of(member), "kit_readings", season.pk, mode="field 2")
    assert "30 to 34" in page(client_of(member), "kit_readings", season.pk, mode="beach")


def test_holes_without_a_set_up_are_counted_aside(
    client_of: ClientOf, member: User, hunt: Hunt, season: Kit
) -> None:
    make.hole(hunt, member, target_id=50, outcome="find", dug_at=now() - timedelta(hours=8))
    assert "1 hole of yours with a target ID is not counted" in page(
        client_of(member), "kit_readings", season.pk
    )


def test_kit_pages_cost_the_same_for_few_and_many(
    client_of: ClientOf, member: User, hunt: Hunt, season: Kit
) -> None:
    def queries(name: str, *args: Any) -> int:
        with CaptureQueriesContext(
            connection,
        ) as caught:
            page(client_of(member), name, *args)
        return len(caught)

    names: list[tuple[Any, ...]] = [("kit_list",), ("kit_detail", season.pk), ("kit_readings", season.pk)]
    names.append(("detail", hunt.pk))
    before = [queries(*name) for name in names]
    for number in range(20):
        other = make_kit.kit(member)
        make_kit.set_up(hunt, other, mode=f"Mode {number}")
        make_kit.set_up(hunt, season, set_at=now() - timedelta(hours=5))
        make_kit.ground_reading(hunt, season)
        make_kit.bench(season, "foil", 20, 21, 22)
    assert [queries(*name) for name in names] == before
