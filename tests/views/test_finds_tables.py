"""The import of finds as its pages answer, and what was exported taken in again."""

import csv
import io
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now

from finds.csv_columns import COLUMNS
from finds.import_file import check_table
from finds.import_rows import plan_rows
from finds.models import Find, FindDrill, FindImportDraft
from people.models import User
from tests import make
from tests.actions.test_find_imports import row, saved, table

pytestmark = pytest.mark.django_db
Clients = Callable[[User | None], Client]


@pytest.fixture
def hunt(leader: User, member: User) -> Any:
    make.club()
    hunt = make.hunt(
        make.site(code="SF04"), leader=leader, on=make.days(-7), code="H2026-004", state="closed"
    )
    make.sign_up(hunt, member)
    return hunt


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
