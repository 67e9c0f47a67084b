"""Words that would be markup, a template, a formula, a header or a program, in every text that the club keeps.

Sources: OWASP WSTG 4.2, WSTG-INPV-02 (stored cross-site scripting), WSTG-INPV-18 (template injection), WSTG-INPV-10
(mail header injection); OWASP, CSV Injection; RFC 5322, 2.2 (header fields).
"""

import csv
import io
import re
from html.parser import HTMLParser
from typing import Any
from xml.parsers import expat

import pytest
from django.apps import apps
from django.db import DatabaseError, models, transaction
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from finds.models import Find
from hunts import mail as hunts_mail
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.mail_message import message_of, sender_now
from people.models import Club, Letter, User
from reports.blocks import Paragraph
from reports.pdf import render_pdf
from tests.attacks.ground import Asked, Ground, body_of, undone
from tests.unit.reports.sample import report
from web.append_only import AppendOnlyModel
from web.csv_safe import plain_text

MARK = "zqx"  # stands in no word of ours
PAYLOAD = f"\"'><img src={MARK} onerror=alert(1)>{{{{7|add:9{MARK}}}}}{{% load {MARK} %}}</script></title>"
OWN_WORDS = re.compile(
    r"(_uri|_scheme|digest|sha256|message_id|kind|state|codes?|basis|token|reference|number|prefix|zone"
    r"|where|verb|subject|via|key|jurisdiction|currency|units|crs|format|judged|pack|rule|role|method"
    r"|edtf|weight|outcome|stage|party|capacity|email|password|file|display|thumb|photo|url|^to$)"
)


def text_columns(model: type[models.Model]) -> list[models.Field]:
    """Columns that hold what somebody typed: no choices, no keys, nothing that the program writes itself."""
    return [
        field
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField)
        and not isinstance(field, models.FileField | models.EmailField)
        and not field.choices and not field.unique and not OWN_WORDS.search(field.name)
    ]  # fmt: skip


def poison(payload: str) -> int:
    """Put the payload into every such column of every row that may be changed; how many columns hold it."""
    held = 0
    for model in apps.get_models():
        if issubclass(model, AppendOnlyModel) or model._meta.app_label in {
            "sessions",
            "contenttypes",
            "auth",
        }:
            continue
        for field in text_columns(model):
            try:
                with transaction.atomic():
                    words = payload[: getattr(field, "max_length", None) or len(payload)]
                    held += bool(model._base_manager.update(**{field.name: words}))
            except DatabaseError:
                continue  # a constraint of the table says what may stand there
    return held


class Marks(HTMLParser):
    """Finds the mark where it is markup: the name or value of an attribute that it opened, a tag of its own."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name.startswith("on") or MARK in name or (tag == "img" and value == MARK):
                self.found.append(f"<{tag} {name}={value}>")


def runs(asked: Asked, client: Client) -> list[str]:
    """Where the payload became markup on one page, or was read as a template."""
    row = asked.row
    with undone():
        answer = client.get(asked.url)
        text, kind = body_of(answer), answer.get("Content-Type", "")
    if answer.status_code == 500:
        return [f"{row.name}: 500"]
    if not kind.startswith(("text/html", "image/svg", "application/gpx", "text/javascript")):
        return []
    page = text.decode()
    marks = Marks()
    marks.feed(page)
    raw = [PAYLOAD[:20]] if PAYLOAD[3:24] in page else []
    read = [f"16{MARK}"] if f"16{MARK}" in page else []
    return [f"{row.name}: {each}" for each in (*marks.found, *raw, *read)]


READERS = {"secretary": "secretary", "committee": "committee", "landholder": "anonymous"}


@pytest.mark.parametrize(
    "reader", ["secretary", "landholder", pytest.param("committee", marks=pytest.mark.long)]
)
def test_no_page_runs_what_somebody_typed(reader: str, ground: Ground) -> None:
    assert poison(PAYLOAD) > 40
    rows = [asked for asked in ground.asked if asked.row.method == "get"]
    if reader == "landholder":
        rows = [asked for asked in rows if asked.row.answer_for("anonymous") == 200]
    client = ground.client(READERS[reader])
    client.raise_request_exception = False
    assert [each for asked in rows for each in runs(asked, client)] == []


def test_the_payload_is_on_the_pages_as_text(ground: Ground) -> None:
    """Otherwise the test above would look at pages without it."""
    poison(PAYLOAD)
    page = ground.client("secretary").get(reverse("finds:detail", args=[ground.world.find.pk])).text
    assert f"&lt;img src={MARK}" in page
    assert "{{7|add" in page


FORMULAS = [
    "=1+1", "+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", '=HYPERLINK("http://x")', "＝1", "x\n=1", 'x";=1', "  =1",
]  # fmt: skip


def is_plain_cell(formula: str, ground: Ground) -> None:
    """The export's cell is no formula, and says the same when the apostrophe is taken off."""
    Find.objects.filter(pk=ground.world.find.pk).update(description=formula)
    text = body_of(ground.client("secretary").get(reverse("finds:export_csv"))).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    cell = next(row["description"] for row in rows if row["number"] == ground.world.find.number)
    assert not re.search(r"(\A|[;|\t\r\n\"])[ ]*[=+\-@＝\t\r]", cell), cell
    assert plain_text(cell) == formula


@pytest.mark.parametrize("formula", FORMULAS, ids=ascii)
def test_no_cell_of_an_export_is_a_formula(formula: str, ground: Ground) -> None:
    is_plain_cell(formula, ground)


HEADERS = [
    "Saltmere\r\nBcc: everybody@evil.example",
    "Saltmere\nContent-Type: text/html\n\n<b>",
    "Saltmere\r\n\r\nA letter of its own",
    "Saltmere\x0b\x0cBcc: x@evil.example",
    "Saltmere\u2028Bcc: x@evil.example",
    "Saltmere\0Bcc: x@evil.example",
    "=?utf-8?q?=0d=0aBcc:_x@evil.example?=",
]


def stays_one_line(words: str, ground: Ground) -> None:
    """In the club's name, the subject, the reader's name: each stays one line of one field."""
    world = ground.world
    Club.objects.update(name=words[:80])
    User.objects.filter(pk=world.member.pk).update(name=words)
    world.member.refresh_from_db()
    hunts_mail.tell([world.member], "promoted", world.hunt)
    row = Letter.objects.latest("pk")
    assert len(row.subject.splitlines()) == 1
    text = message_of(row, sender_now()).message().as_bytes()
    head = text.split(b"\n\n", 1)[0].replace(b"\r", b"")
    names = {
        line.partition(b":")[0].lower() for line in head.split(b"\n") if not line.startswith((b" ", b"\t"))
    }
    assert names <= HEAD_FIELDS, names - HEAD_FIELDS


@pytest.mark.parametrize("words", HEADERS, ids=ascii)
def test_no_letter_gets_a_header_of_somebodys_words(words: str, ground: Ground) -> None:
    stays_one_line(words, ground)


HEAD_FIELDS = {
    b"content-type", b"mime-version", b"subject", b"from", b"to", b"date", b"message-id", b"reply-to",
    b"auto-submitted", b"list-unsubscribe", b"list-unsubscribe-post", b"list-id", b"precedence",
    b"x-auto-response-suppress", b"content-transfer-encoding",
}  # fmt: skip


@pytest.mark.parametrize(
    "to", ["x@y.example\r\nBcc: z@evil.example", "x@y.example, z@evil.example", "not an address"]
)
def test_an_address_that_is_two_or_none_is_sent_nothing(to: str, ground: Ground) -> None:
    facts: dict[str, Any] = {"person": ground.world.member, "number": "1"}
    (row,) = queue([compose(to, LetterKind.CLUB, "finds/mail/case_message", facts)], soon=False)
    assert row.gave_up_at is not None


TYPST = [
    '#read("/etc/passwd")',
    '#eval("1+1")',
    '#import "@preview/x:1.0.0"',
    "$ x $ *b* _i_ = h",
    '"); #panic("x',
    "#sys.inputs",
    "\\u{0} \\ \" ' `",
]


@pytest.mark.parametrize("words", TYPST, ids=ascii)
def test_a_pdf_prints_words_and_runs_none(words: str) -> None:
    made = report(Paragraph(words))
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(render_pdf(made, {}))).pages)
    assert "root:" not in text
    assert words.split()[0][:6] in text.replace("\n", "")


def test_a_gpx_and_a_map_stay_well_formed(ground: Ground) -> None:
    poison(PAYLOAD)
    client = ground.client("leader")
    for page in ("hunts:lanes_gpx", "hunts:lanes_map"):
        answer = client.get(reverse(page, args=[ground.world.hunt.pk]))
        if answer.status_code == 200:
            expat.ParserCreate().Parse(body_of(answer), True)
