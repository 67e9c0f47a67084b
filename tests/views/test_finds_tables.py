"""Quick entry, import and export of finds as their pages answer."""

import csv
import io
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import localtime, now

from finds.csv_columns import COLUMNS
from finds.import_file import check_table
from finds.import_rows import plan_rows
from finds.models import Find, FindDrill, FindImportDraft, FindspotView
from people.models import User
from tests import make
from tests.actions.test_find_imports import row, saved, table
from tests.views.world import World, build

pytestmark = pytest.mark.django_db
Clients = Callable[[User | None], Client]


@pytest.fixture
def world() -> World:
    return build()


@pytest.fixture
def hunt(leader: User, member: User) -> Any:
    make.club()
    hunt = make.hunt(
        make.site(code="SF04"), leader=leader, on=make.days(-7), code="H2026-004", state="closed"
    )
    make.sign_up(hunt, member)
    return hunt


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


# Import


def upload(client: Client, data: bytes, **values: Any) -> Any:
    file = SimpleUploadedFile("bags.csv", data, content_type="text/csv")
    return client.post(reverse("finds:import_start"), {"file": file, "client_id": uuid4()} | values)


def test_a_file_is_looked_at_saved_and_shown(hunt: Any, member: User, client_of: Clients) -> None:
    client = client_of(member)
    look = client.get(upload(client, table(row(own_reference="1"), row(object="nail")))["Location"])
    assert (look.context["new"], look.context["may_save"]) == (2, True)
    assert Find.objects.count() == 0
    pk = look.context["draft"].pk
    seal = look.context["seal"]
    done = client.post(reverse("finds:import_save", args=[pk]), {"seal": seal}, follow=True)
    assert "2 finds are recorded." in done.content.decode()
    assert [find.object_type for find in done.context["finds"]] == ["buckle", "nail"]
    again = client.get(upload(client, table(row(own_reference="1"), row(object="nail")))["Location"])
    assert "there is nothing to save" in again.content.decode()
    assert (again.context["same"], again.context["may_save"]) == (2, False)


def test_an_imported_hoard_heads_the_page_of_what_was_made(
    hunt: Any, member: User, client_of: Clients
) -> None:
    client = client_of(member)
    coins = row(
        object="pennies", how_many="3", coin="yes", materials="silver", year_from="1205", year_to="1247"
    ) | {"circumstances": "container"}
    look = client.get(upload(client, table(row(), coins))["Location"])
    address = reverse("finds:import_save", args=[look.context["draft"].pk])
    drill = client.post(address, {"seal": look.context["seal"]})
    stop = FindDrill.objects.get(find__object_type="pennies")
    assert drill["Location"] == reverse(
        "finds:incident", args=[stop.incident_id]
    )  # what has to stop comes before all else
    page = client.get(reverse("finds:import_look", args=[look.context["draft"].pk]))
    assert [heavy.find.object_type for heavy in page.context["heavy"]] == ["pennies"]
    assert page.context["stops"]


def test_a_stale_look_is_said_and_shown_again(hunt: Any, member: User, client_of: Clients) -> None:
    client = client_of(member)
    look = client.get(upload(client, table(row()))["Location"])
    saved(member, table(row()))
    address = reverse("finds:import_save", args=[look.context["draft"].pk])
    page = client.post(address, {"seal": look.context["seal"]}, follow=True)
    assert "Something has changed since you looked" in page.content.decode()
    assert Find.objects.count() == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        (b"PK\x03\x04 rest", "a spreadsheet file"),
        (b"hunt,objekt\nH1,nail\n", "do you mean “object”?"),
        (b"hunt,object,object\nH1,a,b\n", "is there twice"),
        (b"hunt,object\nH1,\x00nail\n", "NUL"),
        (b'hunt,object\nH1,"nail\n', "quotation mark"),
    ],
)
def test_a_file_that_cannot_be_read_says_why(
    hunt: Any, member: User, client_of: Clients, data: bytes, words: str
) -> None:
    answer = upload(client_of(member), data)
    assert answer.status_code == 200
    assert words in answer.context["form"].errors["file"][0].replace("&#x27;", "'")
    assert not FindImportDraft.objects.exists()


def test_a_file_that_is_too_large_is_refused_unread(hunt: Any, member: User, client_of: Clients) -> None:
    answer = upload(client_of(member), b"hunt,object\n" + b"H1,nail\n" * 1_300_000)
    assert "10.4 MB" in answer.context["form"].errors["file"][0]


def test_a_guessed_encoding_is_said_with_a_sample_and_can_be_changed(
    hunt: Any, member: User, client_of: Clients
) -> None:
    client = client_of(member)
    look = client.get(upload(client, table(row(object="žeton")).decode().encode("cp1250"))["Location"])
    assert "The file does not say how its letters are written" in look.content.decode()
    assert look.context["samples"] == ["žeton".encode("cp1250").decode("cp1252")]
    address = reverse("finds:import_read", args=[look.context["draft"].pk])
    again = client.post(address, {"encoding": "cp1250", "day_order": ""}, follow=True)
    assert again.context["samples"] == ["žeton"]
    wrong = client.post(address, {"encoding": "utf-8-sig", "day_order": ""}, follow=True)
    assert "cannot be read as UTF-8" in wrong.content.decode()


def test_the_template_has_every_column_and_no_row(member: User, client_of: Clients) -> None:
    answer = client_of(member).get(reverse("finds:import_template_csv"))
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    assert list(csv.reader(io.StringIO(text))) == [[column.name for column in COLUMNS]]


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


def test_what_is_exported_is_known_when_it_is_imported(hunt: Any, member: User, client_of: Clients) -> None:
    """Formula cells come back as they were, and nothing is made twice."""
    full = row(
        own_reference="=1+1",
        materials="silver 92.5 %; copper alloy (brass)",
        coin="yes",
        circumstances="none",
        description='@SUM(A1)\n;=cmd|" /C calc"!A0',
        year_from="-50",
        year_to="43",
        position="53.6007, 0.1512",
    ) | {"weight (g)": "4.25", "position accuracy (m)": "5"}
    saved(member, table(full, row(object="-5 nails")))
    answer = client_of(member).get(reverse("finds:export_csv"))
    data = b"".join(answer.streaming_content)
    assert b'"\'=1+1"' in data
    assert b"-50," in data
    plan = plan_rows(check_table(data), by=member, at=now())
    assert plan.problems == []
    assert [known.differs for known in plan.known] == [[], []]
    assert plan.new == []


def test_a_foreign_export_is_taken_over_whole_and_once(hunt: Any, member: User, client_of: Clients) -> None:
    """Numbers of another installation are no numbers here: the rows are new, and known the second time."""
    saved(member, table(row(object="=nail", materials="iron", depth="12")))
    data = b"".join(client_of(member).get(reverse("finds:export_csv")).streaming_content)
    number = Find.objects.get().number.encode()
    foreign = data.replace(number, b"X1999-0001")
    (find,) = saved(member, foreign)
    assert (find.object_type, find.depth_cm, find.number != "X1999-0001") == ("=nail", 12, True)
    again = plan_rows(check_table(foreign), by=member, at=now())
    assert (again.new, len(again.known)) == ([], 1)
