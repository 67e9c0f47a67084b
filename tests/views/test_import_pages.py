"""The import as its pages answer: from the file over its columns to what was made, with and without trouble."""

import io
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.timezone import now

from people import actions
from people.models import ColumnMemory, TableDraft, TableImport, User
from people.rights import Role
from permissions.models import Site
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.once]
Clients = Callable[[User | None], Client]
LIST = b"Who is it,Post,Since\nSamphire,mo@x.example,03/04/2019\n"
DAYS = {"starts": "2026-01-01", "ends": "2026-12-31"}


@pytest.fixture
def client(secretary: User, client_of: Clients) -> Client:
    make.club()
    return client_of(secretary)


def send(client: Client, data: bytes, kind: str = "members", **said: Any) -> Any:
    file = SimpleUploadedFile("list.csv", data)
    return client.post(reverse("keeping:imports"), {"kind": kind, "file": file, "client_id": uuid4(), **said})


def at(step: str) -> str:
    return reverse(f"keeping:import_{step}", args=[TableDraft.objects.get().client_id])


def text_of(answer: Any) -> str:
    return answer.content.decode()


def errors(answer: Any) -> dict[str, list[str]]:
    return dict(answer.context["form"].errors)


def test_from_an_unknown_list_to_members(client: Client) -> None:
    assert send(client, LIST)["Location"] == at("columns")
    assert client.get(at("columns"))["Location"] == at("rows")  # no word of its header is known
    assert "Line 1: Who is it | Post | Since" in text_of(client.get(at("rows")))
    chosen = {"header_line": "1", "encoding": "utf-8-sig"}
    assert client.post(at("rows"), chosen)["Location"] == at("columns")
    columns = {"c0": "name", "c1": "email", "c2": "starts", **DAYS}
    assert "say which comes first" in errors(client.post(at("columns"), columns))["day_order"][0]
    assert client.post(at("columns"), {**columns, "day_order": "day"})["Location"] == at("look")
    look = client.get(at("look"))
    assert "member 3 Apr 2019 to 31 Dec 2026" in text_of(look)
    assert not User.objects.filter(email="mo@x.example").exists()
    save = at("save")
    made = client.post(save, {"seal": look.context["seal"]})
    done = TableImport.objects.get()
    assert made["Location"] == reverse("keeping:import_done", args=[done.pk])
    assert client.post(save, {"seal": look.context["seal"]})["Location"] == made["Location"]
    for step in ("look", "columns", "rows"):  # gone back to after saving
        address = reverse(f"keeping:import_{step}", args=[done.client_id])
        assert client.get(address)["Location"] == made["Location"]
    page = text_of(client.get(made["Location"]))
    assert "Samphire" in page
    assert "Take this import back" in page
    client.post(reverse("keeping:import_back", args=[done.pk]))
    assert not User.objects.filter(email="mo@x.example").exists()
    assert "None of them is here any more" in text_of(client.get(made["Location"]))


def test_the_same_columns_are_chosen_the_next_time(client: Client) -> None:
    ColumnMemory.objects.all().delete()
    for n in (1, 2):
        send(client, b"Name,Mail address,Colour\nMo,mo%d@x.example,red\n" % n)
        form = client.get(at("columns")).context["form"]
        assert form["c2"].initial == ("" if n == 1 else "phone")
        client.post(at("columns"), {"c0": "name", "c1": "email", "c2": "phone", **DAYS})
        client.post(at("discard"))


def test_a_sheet_is_chosen_and_names_with_a_comma_are_asked_about(client: Client) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Notes"
    book.active.append(["Some words"])
    for row in (["Name", "E-mail"], ["Vries, Jan de", "jan@x.example"]):
        (book["Members"] if "Members" in book.sheetnames else book.create_sheet("Members")).append(row)
    out = io.BytesIO()
    book.save(out)
    send(client, out.getvalue())
    assert client.get(at("columns"))["Location"] == at("rows")
    assert client.post(at("rows"), {"sheet": "Members"})["Location"] == at("columns")
    columns = {"c0": "name", "c1": "email", **DAYS}
    assert "Jan de Vries" in errors(client.post(at("columns"), columns))["name_order"][0]
    client.post(at("columns"), {**columns, "name_order": "last_first"})
    assert client.get(at("look")).context["new"][0].title == "Jan de Vries"


@pytest.mark.parametrize(
    ("columns", "field", "words"),
    [
        ({"c0": "name"}, "__all__", "No column is chosen for “E-mail address”"),
        ({"c1": "email"}, "__all__", "“Name” or “Last name”"),
        ({"c0": "email", "c1": "email"}, "c1", "chosen for two columns"),
        ({"c0": "name", "c1": "email", "ends": "2025-01-01"}, "ends", "before the first"),
        ({"c0": "role", "c1": "email"}, "c0", "Select a valid choice"),
    ],
)
def test_columns_that_cannot_be_are_said(
    client: Client, columns: dict[str, str], field: str, words: str
) -> None:
    send(client, b"Name,E-mail\nMo,mo@x.example\n")
    found = errors(client.post(at("columns"), {**DAYS, **columns}))
    assert words in " ".join(found[field])


def test_what_is_wrong_can_be_downloaded_and_no_cell_is_a_formula(client: Client) -> None:
    send(client, b"Name,E-mail\n=1+1,no address\n")
    client.post(at("columns"), {"c0": "name", "c1": "email", **DAYS})
    assert client.get(at("look")).context["may_save"] is False
    answer = client.get(at("problems"))
    lines = b"".join(answer.streaming_content).decode().splitlines()  # type: ignore[arg-type]
    assert lines[1] == '2,"E-mail","no address","“no address” is no e-mail address; mend it."'
    assert client.post(at("save"), {"seal": client.get(at("look")).context["seal"]})["Location"] == at("look")


def test_a_file_that_is_no_table_keeps_the_choice_and_says_why(client: Client) -> None:
    answer = send(client, b"%PDF-1.7", kind="sites")
    assert "This is a PDF" in text_of(answer)
    assert answer.context["form"]["kind"].value() == "sites"
    assert TableDraft.objects.count() == 0


def test_markup_in_a_cell_stays_text(client: Client) -> None:
    send(client, b"Code,Name\nSF91,<script>alert(1)</script>\n", kind="sites")
    client.post(at("columns"), {"c0": "code", "c1": "name", "jurisdiction": "england"})
    look = client.get(at("look"))
    assert "<script>alert" not in text_of(look)
    client.post(at("save"), {"seal": look.context["seal"]})
    assert Site.objects.get().name == "<script>alert(1)</script>"


def test_two_secretaries_do_not_see_each_others_files(client: Client, client_of: Clients) -> None:
    send(client, LIST)
    other = client_of(make.person(Role.SECRETARY))
    for step in ("rows", "columns", "look", "problems"):
        assert other.get(at(step)).status_code == 404
    assert other.post(at("discard")).status_code == 404


@pytest.mark.parametrize("kind", ["members", "landholders", "sites"])
def test_looking_asks_as_often_for_many_rows_as_for_one(client: Client, secretary: User, kind: str) -> None:
    heads = {"members": b"Name,E-mail\n", "landholders": b"Name,E-mail\n", "sites": b"Code,Name\n"}
    asked = []
    for rows in (1, 50):
        key = uuid4()
        body = b"".join(b"N%d,n%d@x.example\n" % (n, n) for n in range(rows))
        actions.keep_table(heads[kind] + body, "x", by=secretary, at=now(), kind=kind, client_id=key)
        first, second = ("code", "name") if kind == "sites" else ("name", "email")
        said: dict[str, Any] = {
            "columns": {0: first, 1: second},
            "answers": {**DAYS, "jurisdiction": "england"},
        }
        actions.match_columns(key, by=secretary, at=now(), digest="d", **said)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(reverse("keeping:import_look", args=[key])).status_code == 200
        asked.append(len(queries))
    assert asked[0] == asked[1]


def test_the_order_of_days_is_what_the_file_shows(client: Client) -> None:
    send(client, b"Name,E-mail,Joined\nMo,mo@x.example,1/3/2021\nNed,ned@x.example,31/12/2020\n")
    field = client.get(at("columns")).context["form"]["day_order"]
    assert (field.value(), str(field.field.choices[0][1])) == ("day", "Choose")
