"""Quick entry and the export of finds as their pages answer."""

import csv
import io
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localtime, now

from finds.models import Find, FindspotView
from people.models import User
from tests import make
from tests.views.world import World, build, shared_world

pytestmark = pytest.mark.django_db
Clients = Callable[[User | None], Client]


standing_world, world = shared_world(build)


# Quick entry


def entry(world: World, **values: Any) -> dict[str, Any]:
    found_at = f"{localtime(now()):%Y-%m-%dT%H:%M}"
    base = {"object_type": "buckle", "site": world.site.pk, "finder": world.member.pk, "found_at": found_at}
    return base | {"client_id": uuid4()} | values


def test_the_page_comes_back_empty_with_the_number_just_given(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    answer = client.post(address, entry(world, materials=["iron"], circumstances=["none"], depth_cm="12"))
    find = Find.objects.latest("pk")
    assert answer["Location"] == f"{address}?made={find.pk}"
    page = client.get(answer["Location"])
    assert f'<dd class="ref">{find.number}</dd>' in page.content.decode()
    assert page.context["form"]["object_type"].value() is None
    assert page.context["form"]["position_text"].value() is None
    assert page.context["rows"][0]["find"] == find
    assert (find.depth_cm, [m.material for m in find.materials.all()]) == (12, ["iron"])
    assert find.facts["human_remains"] == "no"


def test_one_entry_sent_twice_is_one_find(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    said, before = entry(world), Find.objects.count()
    assert client.post(address, said)["Location"] == client.post(address, said)["Location"]
    assert Find.objects.count() == before + 1


def test_another_like_it_copies_what_it_is_and_never_where(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    said = entry(
        world, materials=["lead"], circumstances=["none"], position_text="53.6007, 0.1512", again="yes"
    )
    page = client.get(client.post(address, said)["Location"])
    form = page.context["form"]
    assert (form["object_type"].value(), form["materials"].value()) == ("buckle", ["lead"])
    assert form["circumstances"].value() == ["none"]
    assert form["position_text"].value() is None
    assert "same_place" in form.fields
    assert not form["same_place"].value()


def test_the_place_of_the_last_is_taken_only_when_asked_for(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    client.post(address, entry(world, position_text="53.6007, 0.1512"))
    first = Find.objects.latest("pk")
    client.post(address, entry(world, object_type="nail"))
    assert Find.objects.latest("pk").lon is None
    client.post(address, entry(world, position_text="53.6011, 0.1520"))
    last = Find.objects.latest("pk")
    client.post(address, entry(world, object_type="stud", same_place="on", last=last.pk))
    found = Find.objects.latest("pk")
    assert (found.object_type, found.lon, found.lat, found.placing) == ("stud", 0.1520, 53.6011, "inside")
    assert found.square_cell == first.square_cell
    stale = client.post(address, entry(world, same_place="on", last=first.pk))
    assert "no longer sure" in stale.context["form"].errors["same_place"][0]
    both = client.post(address, entry(world, same_place="on", last=found.pk, position_text="53.6, 0.151"))
    assert "Another place is given too" in both.context["form"].errors["same_place"][0]


def test_nobody_takes_the_place_of_somebody_elses_find(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    answer = client.post(address, entry(world, same_place="on", last=world.others_locked.pk))
    assert "same_place" not in answer.context["form"].fields or answer.context["form"].errors
    assert not Find.objects.filter(recorded_by=world.member, object_type="buckle", lon__isnull=False).exists()


def test_what_stops_everything_is_shown_at_once(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    answer = client.post(address, entry(world, object_type="fuse", circumstances=["ordnance"]), follow=True)
    text = answer.content.decode()
    assert 'class="emergency"' in text
    assert answer.context["screening"].screening.drills


def test_a_wrong_entry_keeps_what_was_typed(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    answer = client.post(address, entry(world, position_text="53.9, 0.2", depth_cm="9"))
    form = answer.context["form"]
    assert "outside the boundary" in form.errors["outside_is_right"][0]
    assert form["position_text"].value() == "53.9, 0.2"
    assert "outside_is_right" in [field.name for field in form.asked()]
    kept = client.post(address, entry(world, position_text="53.6019, 0.1512", outside_is_right="on"))
    assert kept.status_code == 302


def test_the_time_has_to_be_the_hunts_day(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])
    answer = client.post(address, entry(world, found_at="2020-01-01T10:00"))
    assert "is not the day of" in answer.context["form"].errors["found_at"][0]


@pytest.mark.once
def test_quick_entry_asks_as_often_after_thirty_finds_as_after_one(world: World, client_of: Clients) -> None:
    client, address = client_of(world.member), reverse("finds:quick", args=[world.hunt.pk])

    def asked() -> int:
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        return len(queries)

    client.post(address, entry(world))
    one = asked()
    for number in range(20):
        client.post(address, entry(world, object_type=f"nail {number}"))
    assert asked() == one


# Export


def exported(client: Client, query: str = "") -> list[dict[str, str]]:
    answer = client.get(reverse("finds:export_csv") + query)
    assert answer["Cache-Control"] == "private, no-store"
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def by_number(rows: list[dict[str, str]], find: Find) -> dict[str, str]:
    return next(each for each in rows if each["number"] == find.number)


def test_each_reader_gets_each_place_as_finely_as_it_is_theirs(world: World, client_of: Clients) -> None:
    other = make.person(name="Ned Spit")
    full, square = ("53.600700, 0.151200", "full"), ("TA 4216", "1 km square")
    for reader, expected in (
        (world.member, full),
        (world.leader, full),
        (world.committee, full),
        (world.secretary, full),
        (other, square),
    ):
        line = by_number(exported(client_of(reader)), world.find)
        assert line["position precision"] == expected[1]
        assert line["made for"] == reader.name
        assert line["position"].startswith(expected[0][:2])
        assert (line["position"] == full[0]) == (expected is full)
    assert world.others_locked.number not in {each["number"] for each in exported(client_of(other))}


def test_a_locked_place_is_left_out_until_asked_for_and_then_recorded(
    world: World, client_of: Clients
) -> None:
    client = client_of(world.committee)
    line = by_number(exported(client), world.locked)
    assert (line["position"], line["position precision"], line["locked"]) == ("", "locked", "yes")
    assert not FindspotView.objects.filter(where="finds as CSV").exists()
    line = by_number(exported(client, "?locked=yes"), world.locked)
    assert (line["position"], line["position precision"]) == ("53.600700, 0.151200", "full")
    looks = FindspotView.objects.filter(where="finds as CSV", by=world.committee)
    assert {look.find for look in looks} == {world.locked, world.others_locked}


def test_the_secretary_gets_no_locked_place_even_when_asked_for(world: World, client_of: Clients) -> None:
    line = by_number(exported(client_of(world.secretary), "?locked=yes"), world.locked)
    assert (line["position"], line["position precision"]) == ("", "locked")
    assert not FindspotView.objects.filter(where="finds as CSV").exists()


def test_which_side_of_the_boundary_is_said_only_with_the_place(world: World, client_of: Clients) -> None:
    Find.objects.update(placing="outside")
    member_of_none = make.person()

    def said(reader: User, find: Find, asked: str = "") -> str:
        return by_number(exported(client_of(reader), asked), find)["outside is right"]

    assert [said(reader, world.find) for reader in (world.secretary, member_of_none)] == ["yes", ""]
    assert said(world.secretary, world.others_locked, "?locked=yes") == ""
    assert said(world.committee, world.others_locked) == ""
    assert said(world.committee, world.others_locked, "?locked=yes") == "yes"


def test_what_the_law_was_told_is_not_for_every_member(world: World, client_of: Clients) -> None:
    Find.objects.filter(pk=world.find.pk).update(facts={"container": "yes"}, own_reference="bag 7")
    mine, other = client_of(world.member), client_of(make.person())
    assert by_number(exported(mine), world.find)["circumstances"] == "container"
    line = by_number(exported(other), world.find)
    assert (line["circumstances"], line["own reference"]) == ("", "")


def test_a_strangers_file_has_only_its_header(world: World, client_of: Clients) -> None:
    assert exported(client_of(world.stranger)) == []


@pytest.mark.once
def test_the_export_asks_as_often_for_many_as_for_one(world: World, client_of: Clients) -> None:
    client = client_of(world.secretary)
    exported(client)

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            exported(client)
        return len(queries)

    few = asked()
    for number in range(60):
        find = make.find(world.hunt, world.member, object_type=f"nail {number}")
        find.materials.create(material="iron")
    rows = exported(client)
    assert asked() == few
    assert sum(each["materials"] == "iron" for each in rows) == 60
