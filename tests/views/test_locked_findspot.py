"""A locked find's place: as each kind of reader, every page, file, mail and line of the log is read for it."""

import logging
from io import BytesIO
from typing import Any

import pytest
from django.core import mail
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils.timezone import now
from pypdf import PdfReader

from finds.models import FindspotView
from geo.letters import british_letters, reference
from geo.transform import to_national_grid
from people.models import AuditEntry, User
from people.rights import Role
from permissions.links import key_of
from reports.actions import issue_report
from reports.drafts import draft_for_case, photos_of
from reports.models import Kind
from reports.pdf import render_pdf
from tests import make
from tests.views.access import Row
from tests.views.test_access import ROWS
from tests.views.world import World, build

pytestmark = pytest.mark.django_db

FIND_AT = (0.151937, 53.601341)
HOLE_AT = (0.151613, 53.601127)
MAY_SEE = ("member", "leader", "committee")  # its finder, the leader of that hunt, the committee
MAY_NOT = ("anonymous", "stranger", "other_member", "other_leader", "secretary", "link")


def traces(lon: float, lat: float) -> set[str]:
    """How a point could stand in a text: degrees to four or more places, and references of eight and ten figures."""
    decimals = {f"{value:.4f}" for value in (lon, lat)} | {
        str(value)[: str(value).index(".") + 5] for value in (lon, lat)
    }
    point = to_national_grid(lon, lat)
    letters = british_letters(point.easting, point.northing)
    references = {reference(letters, point.easting, point.northing, figures) for figures in (8, 10)}
    return decimals | references | {each.replace(" ", "") for each in references}


FIND_TRACES, HOLE_TRACES = traces(*FIND_AT), traces(*HOLE_AT)


@pytest.fixture
def world(db: None) -> World:
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
    world.heritage = issue_report(Kind.HERITAGE, draft, pdf, by=world.committee, at=now(), case=world.case)
    return world


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
        text = "\n".join(leaf.extract_text() for leaf in PdfReader(BytesIO(body)).pages)
    return f"{response.headers}\n{text}"


def watched() -> tuple[int, int]:
    """How many looks at findspots and at holes are on record."""
    return FindspotView.objects.count(), AuditEntry.objects.filter(verb="hole.see").count()


class Visit:
    """One request of one reader, rolled back afterwards: what came, and what was recorded of it."""

    def __init__(self, world: World, row: Row, user: User | None, callbacks: Any) -> None:
        kwargs = row.kwargs(world)
        if "key" in kwargs:
            kwargs["key"] = key_of(world.link)
        client, before = Client(), watched()
        with transaction.atomic():
            if user is not None:
                client.force_login(user)
            with callbacks(execute=True):
                response = getattr(client, row.method)(reverse(row.name, kwargs=kwargs), row.data(world))
            self.text = everything_in(response)
            self.looks, self.hole_looks = (after - was for after, was in zip(watched(), before, strict=True))
            transaction.set_rollback(True)
        self.shows_find = any(trace in self.text for trace in FIND_TRACES)
        self.shows_hole = any(trace in self.text for trace in HOLE_TRACES)
        self.name = f"{row.method} {row.name} {kwargs}"


@pytest.mark.parametrize("reader", MAY_NOT)
def test_nobody_else_meets_the_place_anywhere(
    reader: str, world: World, django_capture_on_commit_callbacks, caplog: pytest.LogCaptureFixture
) -> None:
    user = account(world, reader)
    with caplog.at_level(logging.DEBUG):
        visits = [Visit(world, row, user, django_capture_on_commit_callbacks) for row in ROWS]
    assert [visit.name for visit in visits if visit.shows_find or visit.shows_hole] == []
    assert_nothing_said_elsewhere(caplog)


@pytest.mark.parametrize("reader", MAY_SEE)
def test_each_full_view_of_those_who_may_is_on_record(
    reader: str, world: World, django_capture_on_commit_callbacks, caplog: pytest.LogCaptureFixture
) -> None:
    user = account(world, reader)
    with caplog.at_level(logging.DEBUG):
        visits = [Visit(world, row, user, django_capture_on_commit_callbacks) for row in ROWS]
    assert any(visit.shows_find for visit in visits)
    assert [visit.name for visit in visits if visit.shows_find and not visit.looks] == []
    assert [visit.name for visit in visits if visit.shows_hole and not visit.hole_looks] == []
    assert_nothing_said_elsewhere(caplog)


def assert_nothing_said_elsewhere(caplog: pytest.LogCaptureFixture) -> None:
    """No mail, no line of the log and no line of the trail holds the place."""
    lines = [record.getMessage() for record in caplog.records if not record.name.startswith("django.db")]
    mails = [f"{message.subject}\n{message.body}" for message in mail.outbox]
    trail = [f"{entry.label} {entry.changes}" for entry in AuditEntry.objects.all()]
    said = [
        text for text in (*lines, *mails, *trail) if any(trace in text for trace in FIND_TRACES | HOLE_TRACES)
    ]
    assert said == []


def test_the_traces_are_those_that_the_pages_would_show(world: World, client: Client) -> None:
    """Otherwise the tests above would look for something that is never written."""
    client.force_login(world.committee)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    issued = everything_in(client.get(reverse("reports:issued_pdf", args=[world.heritage.pk])))
    assert any(trace in shown for trace in FIND_TRACES)
    assert any(trace in issued for trace in FIND_TRACES)
    assert {view.where for view in FindspotView.objects.filter(by=world.committee, find=world.locked)} >= {
        "find page",
        "issued report, PDF",
    }


def test_the_place_opens_to_the_usual_readers_when_the_case_has_ended(world: World, client: Client) -> None:
    type(world.locked).objects.filter(pk=world.locked.pk).update(locked=False)
    client.force_login(world.secretary)
    shown = client.get(reverse("finds:detail", args=[world.locked.pk])).text
    assert any(trace in shown for trace in FIND_TRACES)
