"""Receipts against the museum procedure for object entry and exit.

Source: Spectrum, the collections management standard, procedures "Object entry" and "Object exit", as the project's
fact sheet on the trade lists their units (section 8, mark [R SPE]): unique number, owner or depositor and their
authority, reason, terms, return date, condition, receipt to the depositor, location, and a rule for what is not
collected. The full text of the standard was not read here, only that list.
"""

from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.timezone import localdate, now
from pypdf import PdfReader

from finds import actions
from finds.actions.custody import first_holder
from finds.models import HandOver
from people.models import User
from reports.build.receipt import receipt_report
from reports.drafts import photos_of
from reports.pdf import render
from tests import make
from web.photos import take_in

pytestmark = pytest.mark.django_db

# unit of information → column of HandOver (or of its items) that holds it → what a filled receipt must say
UNITS = {
    "unique number": ("number", "M20"),
    "depositor": ("from_name", "Mo Samphire"),
    "owner": ("owner", "Ada Warp, Saltmere Farm"),
    "authority": ("capacity", "As the finder; who owns it is not settled"),
    "receiver": ("to_name", "Ida Drift, finds officer"),
    "reason": ("purpose", "recording and identification"),
    "terms": ("terms", "No cleaning. Photographs may be published without the place."),
    "return date": ("due_back", "Due back"),
    "location": ("location", "County store, shelf 4"),
    "rule for what is not collected": ("uncollected", "We write to the owner first."),
    "condition": ("items.condition_out", "bent, green crust"),
}


@pytest.fixture
def row(member: User, secretary: User) -> HandOver:
    make.club()
    find = make.find(make.hunt(), member, object_type="strap end")
    first_holder(find, by=member, at=now())
    values: dict[str, Any] = {
        "owner": "Ada Warp, Saltmere Farm",
        "capacity": "finder",
        "to_holder": "officer",
        "to_name": "Ida Drift, finds officer",
        "purpose": "recording and identification",
        "terms": "No cleaning. Photographs may be published without the place.",
        "location": "County store, shelf 4",
        "due_back": make.days(60),
        "uncollected": "We write to the owner first.",
        "conditions": {find.pk: "bent, green crust"},
    }
    return actions.propose_hand_over([find.pk], by=secretary, at=now(), client_id=uuid4(), **values)


def text_of_pdf(row: HandOver) -> tuple[str, PdfReader]:
    made = render(receipt_report(row, on=localdate()), {})
    assert made.is_ua
    reader = PdfReader(BytesIO(made.pdf))
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages), reader


def test_every_unit_has_a_column_and_stands_in_the_receipt(row: HandOver) -> None:
    text, _ = text_of_pdf(row)
    item = row.items.get()
    for unit, (column, words) in UNITS.items():
        holder, name = (item, column.split(".")[1]) if "." in column else (row, column)
        assert getattr(holder, name), unit
        assert words in text, unit


def test_a_receipt_with_nothing_filled_in_says_what_was_not_said(member: User, secretary: User) -> None:
    make.club()
    find = make.find(make.hunt(), member)
    first_holder(find, by=member, at=now())
    bare = {"to_holder": "museum", "to_name": "Museum", "purpose": "display", "capacity": "keeper"}
    row = actions.propose_hand_over([find.pk], by=secretary, at=now(), client_id=uuid4(), **bare)
    text, _ = text_of_pdf(row)
    for words in ("not said", "not agreed", "none beyond this receipt", "not noted"):
        assert words in text


def test_the_receipt_is_tagged_and_has_lines_for_both_signatures(row: HandOver) -> None:
    text, reader = text_of_pdf(row)
    catalogue = reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en-GB"
    assert "Who hands over: Mo Samphire" in text
    assert "Who receives: Ida Drift, finds officer" in text


def test_the_same_receipt_printed_again_is_the_same_file(row: HandOver) -> None:
    actions.complete_hand_over(row.pk, by=row.proposed_by, at=now(), evidence="receipt of 3 May")
    row.refresh_from_db()
    first, second = (render(receipt_report(row, on=localdate()), {}).pdf for _ in range(2))
    assert first == second


def test_what_goes_back_makes_a_return_slip(member: User, secretary: User, row: HandOver) -> None:
    actions.complete_hand_over(row.pk, by=secretary, at=now(), evidence="receipt of 3 May")
    find = row.items.get().find
    back = {"to_holder": "landholder", "to_name": "Ada Warp", "purpose": "returned", "capacity": "keeper"}
    slip = actions.propose_hand_over([find.pk], by=secretary, at=now(), client_id=uuid4(), **back)
    assert receipt_report(row, on=localdate()).title == "Receipt for objects"
    assert receipt_report(slip, on=localdate()).title == "Return slip"


def test_photographs_of_the_condition_stand_in_the_receipt_with_words(row: HandOver, secretary: User) -> None:
    """Taken when it was handed over and when it was received, in this order, for readers who cannot see as well."""
    item = row.items.get()
    for stage, colour in (("in", "#224466"), ("out", "#664422")):
        files = [take_in(SimpleUploadedFile(f"{stage}.jpg", make.photo_bytes(colour)))]
        actions.add_condition_photos(item.pk, stage, files, by=secretary, at=now())
    report = receipt_report(row, on=localdate())
    made = render(report, photos_of(report))
    assert made.is_ua
    reader = PdfReader(BytesIO(made.pdf))
    words = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    number = item.find.number
    assert words.index(f"{number}, when handed over") < words.index(f"{number}, when received")
    assert sum(len(page.images) for page in reader.pages) == 2
    assert f"{item.find}, when received" in _alternatives(reader)


def _alternatives(reader: PdfReader) -> list[str]:
    """Every alternative text in the structure tree."""
    found, left = [], [reader.trailer["/Root"]["/StructTreeRoot"]]
    while left:
        node: Any = left.pop().get_object()
        if isinstance(node, list):
            left += node
        elif isinstance(node, dict):
            found += [str(node["/Alt"])] if "/Alt" in node else []
            left += [node["/K"]] if "/K" in node and not isinstance(node["/K"], int) else []
    return found


def test_a_receipt_of_one_object_is_one_sheet_of_paper(row: HandOver) -> None:
    """Its code is small enough to stand under the signatures, and large enough to be read off the paper."""
    _, reader = text_of_pdf(row)
    assert len(reader.pages) == 1
