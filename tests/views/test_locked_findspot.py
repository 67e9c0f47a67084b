"""A locked find's place: as each kind of reader, every page, file, mail and line of the log is read for it."""

import logging
import math
import re
from collections.abc import Iterator
from copy import deepcopy
from datetime import timedelta
from io import BytesIO
from typing import Any
from zipfile import ZipFile, is_zipfile

import pytest
from django.core import mail
from django.db import connection, transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now
from pypdf import PdfReader

from finds.models import FindspotView
from geo.letters import british_letters, reference
from geo.transform import to_national_grid
from geo.utm import mgrs_reference, to_utm
from people.mail_choices import address_hash
from people.models import AuditEntry, User
from people.rights import Role
from permissions.links import key_of
from permissions.models import LandholderLink, LinkCode
from reports.actions import issue_report
from reports.drafts import draft_for_case, photos_of
from reports.link_codes import remember
from reports.models import Kind
from reports.package import write_package
from reports.pdf import render_pdf
from reports.sign_links import sign_key_of
from tests import EVERYTHING, make
from tests.views.access import Row
from tests.views.test_access import ROWS
from tests.views.world import World, build, standing

# What a page prints of a row is the same on both databases; whose rows they are is looked at on both.
pytestmark = [pytest.mark.django_db, pytest.mark.once]

FIND_AT = (0.151937, 53.601341)
HOLE_AT = (0.151602, 53.601127)  # both between two lanes of the site's plan, which print their ends
MAY_SEE = ("member", "leader", "committee")  # its finder, the leader of that hunt, the committee
SHARES = 8  # of the addresses, so that both cores have some
MAY_NOT = ("anonymous", "stranger", "other_member", "other_leader", "secretary", "link", "expired")


def traces(lon: float, lat: float) -> re.Pattern[str]:
    """How a point could stand in a text: both degrees side by side to four places or more, either degree to six,
    degrees and minutes, a pair of metres on the National Grid or UTM, or a lettered reference of six figures or more.

    One degree to four places alone says nothing: the lanes of a search plan cross the whole site.
    """
    grid, utm = to_national_grid(lon, lat), to_utm(lon, lat)
    letters = british_letters(grid.easting, grid.northing)
    written = [reference(letters, grid.easting, grid.northing, figures) for figures in (6, 8, 10)]
    written += [mgrs_reference(utm, figures) for figures in (6, 8, 10)]
    alone = [f"{lon:.6f}", f"{lat:.6f}", *(each.replace(" ", " ?") + r"(?!\d)" for each in written)]
    pairs = [
        *_pair(_decimals(lon), _decimals(lat)),
        *_pair(_metres(grid.easting), _metres(grid.northing)),
        *_pair(_metres(utm.easting), _metres(utm.northing)),
        *_pair(_sexagesimal(lon), _sexagesimal(lat)),
    ]
    return re.compile("|".join([*alone, *pairs]))


def _pair(one: str, other: str) -> list[str]:
    between = "[^0-9]{1,60}"
    return [one + between + other, other + between + one]


def _decimals(value: float) -> str:
    ends = {re.escape(f"{value:.4f}"), re.escape(f"{math.floor(value * 1e4) / 1e4:.4f}")}
    return "(?:" + "|".join(sorted(ends)) + r")\d*"


def _metres(value: float) -> str:
    return rf"(?:{math.floor(value)}|{round(value)})(?:\.\d+)?"


def _sexagesimal(value: float) -> str:
    """Degrees with minutes to three places, or with minutes and seconds."""
    degrees, minutes = int(value), (value % 1) * 60
    seconds = math.floor((minutes % 1) * 60)
    return rf"0*{degrees}\D{{1,3}}0*(?:{minutes:.3f}|{int(minutes)}\D{{1,3}}0*{seconds})(?:\.\d+)?"


FIND_TRACES, HOLE_TRACES = traces(*FIND_AT), traces(*HOLE_AT)


def arranged() -> World:
    """The world's locked find lies at FIND_AT and came out of its hole at HOLE_AT; the report on it is issued."""
    world = build()
    type(world.hole).objects.filter(pk=world.hole.pk).update(lon=HOLE_AT[0], lat=HOLE_AT[1], locked=True)
    type(world.locked).objects.filter(pk=world.locked.pk).update(
        lon=FIND_AT[0], lat=FIND_AT[1], hole=world.hole, position_text="{1}, {0}".format(*FIND_AT)
    )
    for row in (world.hole, world.locked):
        row.refresh_from_db()
    draft = draft_for_case(world.case, by=world.committee, at=now())
    pdf = render_pdf(draft.report, photos_of(draft.report))
    assert draft.case_facts is not None
    with write_package(draft.report, draft.case_facts, pdf) as package:
        world.heritage = issue_report(
            Kind.HERITAGE, draft, pdf, by=world.committee, at=now(), case=world.case, package=package
        )
    return world


Standing = tuple[World, dict[str, Any]]


@pytest.fixture(scope="module")
def standing_all(django_db_setup: None, django_db_blocker: Any) -> Iterator[Standing]:
    """One world for all addresses, with what each reader's browser keeps."""
    with standing(django_db_blocker, with_cookies) as made:
        yield made


def with_cookies() -> Standing:
    world = arranged()
    return world, {reader: cookies_of(world, reader) for reader in readers()}


@pytest.fixture
def world(standing_all: Standing, db: None) -> World:
    """A copy: what a test does to the objects stays with it, as what it writes does."""
    return deepcopy(standing_all[0])


def readers() -> tuple[str, ...]:
    """Those whose pages the database sorts and filters most, and one who may see it; on SQLite also those who get more
    pages than others, and all when a run takes its time: who is let in nowhere is the access matrix's to tell."""
    if EVERYTHING:
        return *MAY_NOT, *MAY_SEE
    usual = ("other_member", "secretary")
    return (*usual, "committee", "link") if connection.vendor == "sqlite" else usual


def account(world: World, reader: str) -> User | None:
    """The account of a reader; a member and a leader who have nothing to do with the hunt are made here."""
    if reader == "other_member":
        return make.person(name="Ned Spit")
    if reader == "other_leader":
        return make.person(Role.LEADER, name="Lyn Ness")
    return world.reader(reader)


def everything_in(response: HttpResponse) -> str:
    """The words of a page or a PDF, the raw bytes of anything else, and the headers."""
    body = b"".join(response.streaming_content) if response.streaming else response.content
    text = body.decode("utf-8", "replace")
    if response.get("Content-Type") == "application/pdf" and len(body) > 1000:
        reader = PdfReader(BytesIO(body))
        leaves = [f"{leaf.extract_text()}\n{leaf.get_contents().get_data()!r}" for leaf in reader.pages]
        text = "\n".join([*leaves, str(reader.metadata)])
    elif is_zipfile(BytesIO(body)):
        archive = ZipFile(BytesIO(body))
        text = "\n".join(
            f"{name}\n{archive.read(name).decode('utf-8', 'replace')}" for name in archive.namelist()
        )
    return f"{response.headers}\n{text}"


def watched() -> tuple[int, int]:
    """How many looks at findspots and at holes are on record."""
    return FindspotView.objects.count(), AuditEntry.objects.filter(verb="hole.see").count()


def type_code(client: Client, link: LandholderLink) -> None:
    """This browser has typed the one-time code, so that money and papers to sign open as well."""
    address = address_hash(link.landholder.email)
    until = now() + timedelta(hours=1)
    code = LinkCode.objects.create(
        link=link, digest="0" * 64, address_sha256=address, made_at=now(), expires_at=until, used_at=now()
    )
    remembered = HttpResponse()
    remember(remembered, link, code)
    client.cookies.update(remembered.cookies)


def links(world: World, reader: str) -> tuple[Any, LandholderLink]:
    """The address to sign and that of the landholder's page, expired ones for a reader whose time is over."""
    over = reader == "expired"
    return (world.expired_request, world.expired_link) if over else (world.sign_request, world.link)


def cookies_of(world: World, reader: str) -> Any:
    """What the reader's browser keeps: signed in, or having opened the landholder's addresses and typed the code."""
    client = Client()
    if (user := account(world, reader)) is not None:
        client.force_login(user)
    if reader in {"link", "expired"}:
        request, link = links(world, reader)
        client.get(reverse("reports:landholder", args=[key_of(link)]))
        client.get(reverse("reports:sign", args=[sign_key_of(request)]))
        type_code(client, link)
    return client.cookies


class Visit:
    """One request of one reader, rolled back afterwards: what came, and what was recorded of it."""

    def __init__(
        self, world: World, row: Row, asked: dict[str, Any], callbacks: Any, reader: str, cookies: Any
    ) -> None:
        client = Client()
        client.cookies = deepcopy(cookies)
        kwargs = asked | self.key(world, row, reader) if asked.get("key") == "" else asked
        self.reader, self.name = reader, f"{reader}: {row.method} {row.name} {kwargs}"
        rolled_back: Any = transaction.atomic()
        rolled_back._from_testcase = True  # as Django marks its tests' own: a letter is claimed by itself
        with rolled_back:
            before, last = watched(), AuditEntry.objects.order_by("-pk").first()
            with callbacks(execute=True):
                response = getattr(client, row.method)(reverse(row.name, kwargs=kwargs), row.data(world))
            self.text = everything_in(response)
            self.looks, self.hole_looks = (after - was for after, was in zip(watched(), before, strict=True))
            self.kept = written_since(last, client)
            transaction.set_rollback(True)
        self.shows_find = bool(FIND_TRACES.search(self.text))
        self.shows_hole = bool(HOLE_TRACES.search(self.text))

    @staticmethod
    def key(world: World, row: Row, reader: str) -> dict[str, str]:
        request, link = links(world, reader)
        return {"key": sign_key_of(request) if row.name.startswith("reports:sign") else key_of(link)}


def written_since(last: AuditEntry | None, client: Client) -> list[str]:
    """The lines of the trail after `last`, and what the session holds."""
    newer = AuditEntry.objects.filter(pk__gt=last.pk if last else 0)
    session = dict(client.session) if client.cookies else {}
    return [*(f"{entry.label} {entry.changes}" for entry in newer), str(session)]


def visits_to(row: Row, all_: Standing, callbacks: Any) -> list[Visit]:
    """As each reader, after what the address needs has been made once."""
    world = deepcopy(all_[0])
    with transaction.atomic():
        asked = row.kwargs(world)
        visits = [Visit(world, row, asked, callbacks, reader, cookies) for reader, cookies in all_[1].items()]
        transaction.set_rollback(True)
    return visits


@pytest.mark.parametrize("share", range(SHARES))
def test_nobody_else_meets_the_place_anywhere_and_each_full_view_is_on_record(
    share: int, standing_all: Standing, db: None, django_capture_on_commit_callbacks: Any, caplog: Any
) -> None:
    with caplog.at_level(logging.DEBUG):
        visits = [
            visit
            for row in ROWS[share::SHARES]
            for visit in visits_to(row, standing_all, django_capture_on_commit_callbacks)
        ]
    barred = [visit for visit in visits if visit.reader in MAY_NOT]
    assert [visit.name for visit in barred if visit.shows_find or visit.shows_hole] == []
    assert [visit.name for visit in visits if visit.shows_find and not visit.looks] == []
    assert [visit.name for visit in visits if visit.shows_hole and not visit.hole_looks] == []
    assert_nothing_said_elsewhere(caplog, [text for visit in visits for text in visit.kept])


@pytest.mark.parametrize("reader", MAY_SEE)
def test_those_who_may_do_see_it(reader: str, world: World, client: Client) -> None:
    """Otherwise the test above would find nothing to be on record."""
    client.force_login(account(world, reader))
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    assert FIND_TRACES.search(shown)


def assert_nothing_said_elsewhere(caplog: pytest.LogCaptureFixture, kept: list[str]) -> None:
    """No mail, no line of the log, no line of the trail and no session holds the place."""
    lines = [record.getMessage() for record in caplog.records if not record.name.startswith("django.db")]
    mails = [str(message.message()) for message in mail.outbox]
    mails += [f"{message.subject}\n{message.body}" for message in mail.outbox]
    said = [text for text in (*lines, *mails, *kept) if FIND_TRACES.search(text) or HOLE_TRACES.search(text)]
    assert said == []


@pytest.mark.parametrize(
    "written",
    [
        "53.601341, 0.151937",
        "[0.1519370,53.6013410]",
        "lat=53.6013&lon=0.1519",
        "TA 425 138",
        "TA425138",
        "TA 4250 1380",
        "TA4250713800",
        "53°36′04.8″N 0°09′06.9″E",
        "53 36.080 N 0 9.116 E",
        "31U CU",
    ],
)
def test_a_place_is_known_in_every_spelling(written: str) -> None:
    """Each way of writing that the position field reads, about the place itself."""
    grid, utm = to_national_grid(*FIND_AT), to_utm(*FIND_AT)
    letters = british_letters(grid.easting, grid.northing)
    if written.startswith("TA"):
        figures = sum(c.isdigit() for c in written)
        written = reference(letters, grid.easting, grid.northing, figures)
        written = written if " " in written else written.replace(" ", "")
    if written == "31U CU":
        written = mgrs_reference(utm, 8)
    assert FIND_TRACES.search(f"It lay at {written}."), written
    metres = [f"{grid.easting:.0f}, {grid.northing:.0f}", f"{utm.easting:.2f} {utm.northing:.2f}"]
    assert all(FIND_TRACES.search(each) for each in metres)


def test_a_landholder_with_the_code_reads_papers_and_the_page_with_it(world: World) -> None:
    """Otherwise the link's reader above would be turned away at the door everywhere."""
    client = Client()
    type_code(client, world.link)
    for name in ("reports:landholder", "reports:landholder_papers"):
        assert client.get(reverse(name, args=[key_of(world.link)])).status_code == 200, name


def test_the_traces_are_those_that_the_pages_would_show(world: World, client: Client) -> None:
    """Otherwise the tests above would look for something that is never written."""
    client.force_login(world.committee)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    issued = everything_in(client.get(reverse("reports:issued_pdf", args=[world.heritage.pk])))
    assert FIND_TRACES.search(shown)
    assert FIND_TRACES.search(issued)
    assert {view.where for view in FindspotView.objects.filter(by=world.committee, find=world.locked)} >= {
        "find page",
        "issued report, PDF",
    }


def test_the_place_opens_to_the_usual_readers_when_the_case_has_ended(world: World, client: Client) -> None:
    type(world.locked).objects.filter(pk=world.locked.pk).update(locked=False)
    client.force_login(world.secretary)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    assert FIND_TRACES.search(shown)
