"""What gives a locked find's place away: how it could be written, and one request read whole for it."""

import math
import re
from copy import deepcopy
from dataclasses import dataclass
from io import BytesIO
from typing import Any
from zipfile import ZipFile, is_zipfile

import pytest
from django.core import mail
from django.db import transaction
from django.db.models import Max
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now
from pypdf import PdfReader

from finds.models import FindspotView
from geo.letters import british_letters, reference
from geo.transform import to_national_grid
from geo.utm import mgrs_reference, to_utm
from people.models import AuditEntry
from permissions.links import key_of
from permissions.models import LandholderLink
from reports.actions import issue_report
from reports.drafts import draft_for_case, photos_of
from reports.models import Kind
from reports.package import write_package
from reports.pdf import render_pdf
from reports.sign_links import sign_key_of
from tests.views.access import LOGIN, Row
from tests.views.world import World, build

FIND_AT = (0.151937, 53.601341)
HOLE_AT = (0.151602, 53.601127)  # both between two lanes of the site's plan, which print their ends
MAY_SEE = ("member", "leader", "committee")  # its finder, the leader of that hunt, the committee
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


@dataclass(frozen=True)
class Stand:
    """How far the records had come before a request: looks at findspots and at holes, the last line of the trail."""

    looks: tuple[int, int]
    last_line: int

    @classmethod
    def now(cls) -> "Stand":
        return cls(_looks(), AuditEntry.objects.aggregate(last=Max("pk"))["last"] or 0)


def _looks() -> tuple[int, int]:
    return FindspotView.objects.count(), AuditEntry.objects.filter(verb="hole.see").count()


def links(world: World, reader: str) -> tuple[Any, LandholderLink]:
    """The address to sign and that of the landholder's page, expired ones for a reader whose time is over."""
    over = reader == "expired"
    return (world.expired_request, world.expired_link) if over else (world.sign_request, world.link)


class Visit:
    """One request of one reader, rolled back afterwards: what came, and what was recorded of it."""

    def __init__(
        self,
        world: World,
        row: Row,
        asked: dict[str, Any],
        callbacks: Any,
        reader: str,
        cookies: Any,
        before: Stand,
    ) -> None:
        client = Client()
        client.cookies = deepcopy(cookies)
        kwargs = asked | self.key(world, row, reader) if "key" in asked else asked
        self.reader, self.name = reader, f"{reader}: {row.method} {row.name} {kwargs}"
        rolled_back: Any = transaction.atomic()
        rolled_back._from_testcase = True  # as Django marks its tests' own: a letter is claimed by itself
        with rolled_back:
            with callbacks(execute=True):
                response = getattr(client, row.method)(reverse(row.name, kwargs=kwargs), row.data(world))
            self.text = everything_in(response)
            self.shows_find = bool(FIND_TRACES.search(self.text))
            self.shows_hole = bool(HOLE_TRACES.search(self.text))
            shown = self.shows_find or self.shows_hole
            looks = _looks() if shown else before.looks
            self.looks, self.hole_looks = (now - was for now, was in zip(looks, before.looks, strict=True))
            self.kept = written_since(before.last_line, client)
            transaction.set_rollback(True)
        signs_in = response.status_code == 302 and response["Location"].startswith(reverse("people:sign_in"))
        self.answer: int | str = LOGIN if signs_in else response.status_code

    @staticmethod
    def key(world: World, row: Row, reader: str) -> dict[str, str]:
        request, link = links(world, reader)
        return {"key": sign_key_of(request) if row.name.startswith("reports:sign") else key_of(link)}


def written_since(last_line: int, client: Client) -> list[str]:
    """The lines of the trail after that one, and what the session holds."""
    newer = AuditEntry.objects.filter(pk__gt=last_line)
    session = dict(client.session) if client.cookies else {}
    return [*(f"{entry.label} {entry.changes}" for entry in newer), str(session)]


def assert_the_place_is_kept(visits: list[Visit], caplog: pytest.LogCaptureFixture) -> None:
    """Nobody who may not see the place met it, each full view is on record, and nothing else says it."""
    barred = [visit for visit in visits if visit.reader in MAY_NOT]
    assert [visit.name for visit in barred if visit.shows_find or visit.shows_hole] == []
    assert [visit.name for visit in visits if visit.shows_find and not visit.looks] == []
    assert [visit.name for visit in visits if visit.shows_hole and not visit.hole_looks] == []
    assert_nothing_said_elsewhere(caplog, [text for visit in visits for text in visit.kept])


def assert_nothing_said_elsewhere(caplog: pytest.LogCaptureFixture, kept: list[str]) -> None:
    """No mail, no line of the log, no line of the trail and no session holds the place."""
    lines = [record.getMessage() for record in caplog.records if not record.name.startswith("django.db")]
    mails = [str(message.message()) for message in mail.outbox]
    mails += [f"{message.subject}\n{message.body}" for message in mail.outbox]
    said = [text for text in (*lines, *mails, *kept) if FIND_TRACES.search(text) or HOLE_TRACES.search(text)]
    assert said == []
