"""Help: each page leads to its own, every text is in one place, and the handbook holds the same words."""

import io
from typing import Any

import page as pdf_ua
import pytest
from django.test import Client
from django.urls import reverse
from django.utils.timezone import localdate
from pypdf import PdfReader

from hunts.drills import shown
from people.help_links import TOPICS as PREFIXES
from people.help_links import help_url
from people.models import Club, Contact, User
from reports.help.book import handbook
from reports.help.field_texts import BEFORE, DEFER, DIG, EMERGENCY, FIND, GATE, LEAVE, SWEEP
from reports.help.topics import TOPICS
from reports.pdf import render_pdf
from tests import make

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("path", ["/", "/land/", "/hunts/", "/finds/", "/heritage/", "/club/", "/reports/"])
def test_every_section_has_its_help_at_the_foot_of_the_page(
    path: str, secretary: User, client_of: Any
) -> None:
    page = client_of(secretary).get(path).content.decode()
    address = help_url(path, signed_in=True)
    assert f'<footer class="site-foot no-print"><p><a href="{address}">Help with this page</a>' in page
    assert client_of(secretary).get(address).status_code == 200


def test_every_topic_that_a_page_leads_to_is_there() -> None:
    assert {key for _, key in PREFIXES} | {"today", "landholder"} == {topic.key for topic in TOPICS}


def test_a_landholder_reads_their_part_without_an_account_and_nothing_else() -> None:
    assert help_url("/l/abc/", signed_in=False) == reverse("reports:help_landholder")
    assert help_url("/club/sign-in/", signed_in=False) == ""
    page = Client().get(reverse("reports:help_landholder")).content.decode()
    assert "Pause a permission at any time" in page
    assert "sign-in" in Client().get(reverse("reports:help_topic", args=["hunts"]))["Location"]


def test_an_unknown_topic_is_not_found(secretary: User, client_of: Any) -> None:
    assert client_of(secretary).get(reverse("reports:help_topic", args=["moon"])).status_code == 404


def test_the_usual_cautions_are_said_and_local_law_comes_first(member: User, client_of: Any) -> None:
    client = client_of(member)
    pages = [client.get(reverse("reports:help_topic", args=[t.key])).content.decode() for t in TOPICS[:-1]]
    everything = " ".join(pages).lower()
    cautions = ("ammunition", "human remains", "buried service", "livestock", "alone", "lead", "tide")
    assert [word for word in cautions if word not in everything] == []
    assert all("come before everything written here" in text for text in pages)


def words_of(pdf: bytes) -> str:
    """The text of all pages without the white space that setting it brought in, nor hyphens at ends of lines."""
    text = "".join(each.extract_text() for each in PdfReader(io.BytesIO(pdf)).pages)
    return "".join(text.split()).replace("-", "").replace("\u2011", "").replace("\u200b", "")


def squeezed(text: object) -> str:
    return "".join(str(text).split()).replace("-", "")


@pytest.fixture(scope="module")
def printed() -> bytes:
    club = Club(name="Ravensand & District Search Club", jurisdiction="england", emergency_department="Hull")
    with pytest.MonkeyPatch.context() as patch:
        rows = [Contact(kind="police", jurisdiction="england", name="Control room", phone="101")]
        patch.setattr("reports.help.book.Contact.objects.filter", lambda **kwargs: rows)
        return render_pdf(handbook(club, on=localdate()), {})


def test_the_handbook_says_what_the_help_says_and_the_drills_and_numbers_of_the_club(printed: bytes) -> None:
    words = words_of(printed)
    chapters = (BEFORE, GATE, SWEEP, DIG, FIND, LEAVE, EMERGENCY)
    lines = [str(line) for part in chapters for line in (part.title, *part.lines)] + [str(DEFER)]
    lines += ["Control room", "999 or 112", "Hull"]
    lines += [step for row in shown([], "england") for step in row.drill.steps]
    assert [line for line in lines if squeezed(line) not in words] == []


def test_an_independent_checker_finds_nothing_against_pdf_ua_1_in_the_handbook(printed: bytes) -> None:
    """ISO 14289-1:2014, by the checker that tests/sources/test_pdf_ua.py tells of."""
    said = pdf_ua.validate_pdf_bytes(printed, profile="ua1")
    assert [(each.rule_id, each.message) for each in said.failures] == []
    assert said.is_compliant


def test_the_handbook_is_a5_and_comes_to_members_only(member: User, stranger: User, client_of: Any) -> None:
    make.club()
    answer = client_of(member).get(reverse("reports:handbook_pdf"))
    box = PdfReader(io.BytesIO(answer.content)).pages[0].mediabox
    assert [round(float(side) / 72 * 25.4) for side in (box.width, box.height)] == [148, 210]  # ISO 216
    assert client_of(stranger).get(reverse("reports:handbook_pdf")).status_code == 403
