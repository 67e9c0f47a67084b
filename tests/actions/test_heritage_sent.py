"""Sending a heritage report is recorded with its hashes; an answer moves the case on."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, connection, transaction
from django.utils.timezone import localdate, now

from finds.models import CaseEvent
from finds.states import CaseState
from people.models import AuditEntry
from reports.actions import SendingError, issue_report, report_acknowledged, report_sent
from reports.drafts import draft_for_case
from reports.models import Acknowledgement, IssuedReport, Kind, ReportSending
from tests.actions.heritage_world import issued
from tests.views.world import World, build, shared_world
from web.append_only import AppendOnlyError

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # papers are made of what was read


standing_world, world = shared_world(build)


def send(world: World, row: IssuedReport | None = None, **fields) -> ReportSending:
    values = {"client_id": uuid4(), "sent_at": now(), "to_name": "Ida Drift", "how": "hand", "at": now()}
    return report_sent((row or world.heritage).pk, by=world.committee, **(values | fields))


def answer(world: World, sending: ReportSending, **fields) -> Acknowledgement:
    values = {"client_id": uuid4(), "on": localdate(), "who": "Ida Drift", "reference": "HD-77", "at": now()}
    return report_acknowledged(sending.pk, by=world.committee, **(values | fields))


def test_a_sending_keeps_the_hashes_of_what_was_sent_and_reports_the_case(world: World) -> None:
    row = issued(world.case, world.committee)
    sent = send(world, row, how="portal", to_details="portal of the county")
    assert (sent.pdf_sha256, sent.package_sha256) == (row.pdf_sha256, row.package.sha256)
    world.case.refresh_from_db()
    assert world.case.state == CaseState.REPORTED
    assert world.case.reported_on == localdate()
    telling = world.case.tellings.get()
    assert telling.to == "Ida Drift"
    assert row.number in telling.words
    assert row.pdf_sha256[:16] in telling.words
    assert AuditEntry.objects.filter(verb="report.sent", by=world.committee).count() == 1


@pytest.mark.parametrize(
    ("what", "kept"), [("pdf", (True, False)), ("package", (False, True)), ("both", (True, True))]
)
def test_only_what_was_sent_is_sealed(world: World, what: str, kept: tuple[bool, bool]) -> None:
    sent = send(world, what=what)
    assert (bool(sent.pdf_sha256), bool(sent.package_sha256)) == kept


def test_recording_it_twice_is_one_sending(world: World) -> None:
    key = uuid4()
    assert send(world, client_id=key).pk == send(world, client_id=key).pk
    assert world.case.tellings.count() == 1


def test_nothing_leaves_by_the_clubs_mail(world: World, django_capture_on_commit_callbacks) -> None:
    """A locked findspot is never attached to a message, nor in one."""
    with django_capture_on_commit_callbacks(execute=True):
        answer(world, send(world))
    assert [message for message in mail.outbox if message.attachments] == []
    assert [message for message in mail.outbox if world.heritage.number in str(message.body)] == []


def test_a_second_sending_moves_nothing_and_the_earliest_day_stands(world: World) -> None:
    send(world)
    send(world, to_name="The museum")
    world.case.refresh_from_db()
    assert world.case.state == CaseState.REPORTED
    assert world.case.tellings.count() == 2


def test_the_time_of_sending_can_be_neither_to_come_nor_before_the_issue(world: World) -> None:
    with pytest.raises(SendingError, match="not come yet"):
        send(world, sent_at=now() + timedelta(hours=1))
    with pytest.raises(SendingError, match="issued later than that"):
        send(world, sent_at=world.heritage.issued_at - timedelta(hours=1))
    assert not ReportSending.objects.exists()
    world.case.refresh_from_db()
    assert world.case.state == CaseState.FLAGGED


def test_a_package_that_was_not_made_cannot_have_been_sent(world: World) -> None:
    type(world.locked).objects.filter(pk=world.locked.pk).update(
        description="changed, so that it is another issue"
    )
    draft = draft_for_case(world.case, by=world.committee, at=now())
    row = issue_report(Kind.HERITAGE, draft, b"%PDF-1.7", by=world.committee, at=now(), case=world.case)
    with pytest.raises(SendingError, match="without a data package"):
        send(world, row)
    assert send(world, row, what="pdf").package_sha256 == ""


@pytest.mark.parametrize("who", ["member", "leader", "secretary", "stranger"])
def test_only_the_committee_records_a_sending(world: World, who: str) -> None:
    with pytest.raises(PermissionDenied, match="issue heritage reports"):
        report_sent(
            world.heritage.pk, by=world.reader(who), at=now(), client_id=uuid4(), sent_at=now(),
            to_name="x", how="hand",
        )  # fmt: skip


def test_a_report_to_a_landholder_is_not_sent_like_this(world: World) -> None:
    with pytest.raises(IssuedReport.DoesNotExist):
        send(world, world.returns)


def test_an_answer_makes_a_reported_case_acknowledged_with_their_reference(world: World) -> None:
    row = answer(world, send(world))
    world.case.refresh_from_db()
    assert world.case.state == CaseState.ACKNOWLEDGED
    assert (world.case.acknowledged_on, world.case.report_reference) == (localdate(), "HD-77")
    assert row.who == "Ida Drift"


def test_the_first_answer_to_a_sending_stands(world: World) -> None:
    sent = send(world)
    first = answer(world, sent)
    assert answer(world, sent, reference="other").pk == first.pk
    world.case.refresh_from_db()
    assert world.case.report_reference == "HD-77"


def test_an_answer_to_a_later_copy_moves_nothing_and_is_kept(world: World) -> None:
    first, second = send(world), send(world, to_name="The museum")
    answer(world, first)
    answer(world, second, who="The museum")
    world.case.refresh_from_db()
    assert world.case.state == CaseState.ACKNOWLEDGED
    assert CaseEvent.objects.filter(case=world.case, verb="answer to a report").count() == 1


@pytest.mark.parametrize("days", [-1, 1])
def test_an_answer_comes_after_the_sending_and_not_in_the_future(world: World, days: int) -> None:
    sent = send(world)
    with pytest.raises(SendingError, match="Give the day of their answer"):
        answer(world, sent, on=localdate() + timedelta(days))
    assert not Acknowledgement.objects.exists()


def test_a_copy_of_an_ended_case_is_recorded_and_opens_nothing(world: World) -> None:
    type(world.case).objects.filter(pk=world.case.pk).update(state=CaseState.CLOSED)
    send(world, to_name="The county archive")
    world.case.refresh_from_db()
    assert world.case.state == CaseState.CLOSED
    assert CaseEvent.objects.filter(case=world.case, verb="report sent").count() == 1


def test_sendings_and_answers_are_kept_as_written(world: World) -> None:
    row = answer(world, send(world))
    row.who = "somebody else"
    with pytest.raises(AppendOnlyError):
        row.save()
    for table in ("reports_reportsending", "reports_acknowledgement", "reports_reportpackage"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {table}")
