"""Issuing reports and what landholders say through their link: frozen, once, recorded, and without loose ends."""

import hashlib
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.conf import settings
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, connection, transaction
from django.utils.timezone import localdate, now

from people.models import AuditEntry, User
from permissions.models import LandholderLink
from permissions.states import State
from reports import actions
from reports.actions import IssuedMeanwhileError, issue_report
from reports.content import digest, from_data
from reports.drafts import Draft, draft_for_case, draft_for_hunt, photos_of
from reports.models import Concern, IssuedReport, Kind, LandholderAnswer
from reports.pdf import render_pdf
from tests import make
from tests.views.world import World, build, shared_world
from web.append_only import AppendOnlyError
from web.states import IllegalMoveError

pytestmark = [pytest.mark.django_db, pytest.mark.once]  # papers are made of what was read

PDF = b"%PDF-1.7 a test"


standing_world, world = shared_world(build)


def draft_of(world: World, kind: Kind = Kind.VISIT) -> Draft:
    return draft_for_hunt(kind, world.hunt, world.landholder, on=localdate())


def issue(
    world: World, *, by: User | None = None, draft: Draft | None = None, pdf: bytes = PDF
) -> IssuedReport:
    return issue_report(
        Kind.VISIT,
        draft or draft_of(world),
        pdf,
        by=by or world.leader,
        at=now(),
        hunt=world.hunt,
        landholder=world.landholder,
    )


def stored_files() -> set[Path]:
    return set(Path(settings.MEDIA_ROOT).rglob("*.pdf"))


# Issuing


def test_issuing_freezes_the_content_and_the_file_with_their_hashes(world: World) -> None:
    draft = draft_of(world)
    pdf = render_pdf(draft.report, photos_of(draft.report))
    row = IssuedReport.objects.get(pk=issue(world, draft=draft, pdf=pdf).pk)
    assert digest(from_data(row.content)) == row.content_sha256
    with row.pdf.open("rb") as file:
        assert hashlib.sha256(file.read()).hexdigest() == row.pdf_sha256
    assert (row.recipient, row.issued_by, row.issue) == ("Ada Warp", world.leader, 1)
    assert AuditEntry.objects.filter(verb="report.issue", by=world.leader).count() == 1


def test_the_same_content_twice_is_the_same_issue(world: World) -> None:
    first = issue(world)
    files = stored_files()
    assert issue(world).pk == first.pk
    assert stored_files() == files
    assert (
        AuditEntry.objects.filter(verb="report.issue", subject=f"reports.IssuedReport:{first.pk}").count()
        == 1
    )


def test_a_later_edit_changes_no_byte_of_what_was_issued_and_makes_a_second_issue(world: World) -> None:
    draft = draft_of(world)
    row = issue(world, draft=draft, pdf=render_pdf(draft.report, photos_of(draft.report)))
    with row.pdf.open("rb") as file:
        before = file.read()
    type(world.find).objects.filter(pk=world.find.pk).update(object_type="buckle")
    second = issue(world)
    again = IssuedReport.objects.get(pk=row.pk)
    with again.pdf.open("rb") as file:
        assert file.read() == before
    assert digest(from_data(again.content)) == row.content_sha256
    assert "buckle" not in str(again.content)
    assert (second.issue, second.number) == (2, row.number[:-1] + "2")
    assert "buckle" in str(second.content)


def test_an_issued_report_cannot_be_changed_not_even_by_hand(world: World) -> None:
    row = issue(world)
    row.recipient = "somebody else"
    with pytest.raises(AppendOnlyError):
        row.save()
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE reports_issuedreport SET recipient = 'x' WHERE id = %s", [row.pk])
    assert IssuedReport.objects.get(pk=row.pk).recipient == "Ada Warp"


def test_of_two_at_once_one_wins_and_no_file_is_left_over(world: World) -> None:
    mine = draft_of(world)  # worked out before the other's was issued
    type(world.find).objects.filter(pk=world.find.pk).update(object_type="buckle")
    theirs = issue(world, by=world.secretary)
    files = stored_files()
    with pytest.raises(IssuedMeanwhileError, match="a moment ago"):
        issue(world, draft=mine)
    assert stored_files() == files
    assert list(IssuedReport.objects.filter(kind=Kind.VISIT)) == [theirs]


def test_whatever_goes_wrong_no_file_is_left_over(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*args: object, **kwargs: object) -> None:
        raise RuntimeError("the disk is full")

    monkeypatch.setattr("reports.actions.issue.audit.record", fails)
    files = stored_files()
    with pytest.raises(RuntimeError):
        issue(world)
    assert stored_files() == files
    assert not IssuedReport.objects.filter(kind=Kind.VISIT).exists()


@pytest.mark.parametrize("who", ["member", "committee", "stranger"])
def test_only_leaders_and_the_secretary_issue_to_landholders(world: World, who: str) -> None:
    with pytest.raises(PermissionDenied, match="issue reports to landholders"):
        issue(world, by=world.reader(who))


@pytest.mark.parametrize("who", ["member", "leader", "secretary", "stranger"])
def test_only_the_committee_issues_heritage_reports(world: World, who: str) -> None:
    draft = draft_for_case(world.case, by=world.committee, at=now())
    with pytest.raises(PermissionDenied, match="issue heritage reports"):
        issue_report(Kind.HERITAGE, draft, PDF, by=world.reader(who), at=now(), case=world.case)


def test_reports_of_two_landholders_of_one_hunt_are_numbered_apart(world: World) -> None:
    other = make.landholder(name="Bo Wold")
    world.site.parties.create(landholder=other, capacity="agent")
    numbers = {
        draft_for_hunt(Kind.VISIT, world.hunt, who, on=localdate()).report.number
        for who in (world.landholder, other)
    }
    assert len(numbers) == 2


# What each reader of a report sees


def test_a_report_covers_only_the_land_its_reader_had_a_say_over_that_day(world: World) -> None:
    theirs = make.site(owner=make.landholder(name="Bo Wold"), name="Wold Piece")
    world.hunt.hunt_sites.create(site=theirs, boundary=theirs.boundaries.all()[0])
    make.hole(world.hunt, world.member, site=theirs)
    theirs.parties.create(landholder=world.landholder, capacity="agent", until=make.days(-1))
    words = str(draft_of(world, Kind.HOLES).report)
    assert "Wold Piece" not in words
    assert theirs.code not in words


def test_without_the_term_the_landholders_report_gives_no_exact_findspot(world: World) -> None:
    shown = str(draft_of(world).report)
    type(world.permission).objects.filter(pk=world.permission.pk).update(findspots_to_landholder=False)
    world.hunt.refresh_from_db()
    hidden = str(draft_of(world).report)
    assert shown.count(world.find.number) > hidden.count(world.find.number) > 0


def test_an_injury_is_not_told_to_the_landholder(world: World) -> None:
    for kind, words in (("injury", "Mo turned an ankle"), ("gate", "The gate was off its hinge")):
        world.hunt.incidents.create(kind=kind, words=words, happened_at=now(), recorded_by=world.leader)
    report = str(draft_of(world).report)
    assert "off its hinge" in report
    assert "ankle" not in report


# The landholder's answers


def confirm(world: World, **fields) -> LandholderAnswer:
    values = {"client_id": uuid4(), "signed_name": "Ada Warp", "report": world.returns} | fields
    what = values.pop("what", LandholderAnswer.What.CONFIRMED)
    return actions.landholder_answers(world.link, what, via="link", at=now(), **values)


def test_a_landholder_answers_once_however_often_the_form_is_sent(world: World) -> None:
    key = uuid4()
    assert confirm(world, client_id=key).pk == confirm(world, client_id=key).pk
    line = AuditEntry.objects.get(verb="landholder.confirmed")
    assert (line.by, line.via) == (None, "link")


def test_another_landholders_form_key_opens_nothing(world: World) -> None:
    key = confirm(world).client_id
    other = make.landholder()
    link = LandholderLink.objects.create(
        landholder=other, made_at=now(), made_by=world.secretary, expires_at=now() + timedelta(1)
    )
    with pytest.raises(PermissionDenied, match="another address"):
        actions.landholder_answers(
            link, LandholderAnswer.What.CONCERN, via="link", at=now(), client_id=key, words="x"
        )


def pause(world: World, **fields) -> LandholderAnswer:
    values = {"client_id": uuid4(), "words": "lambing until May"} | fields
    return actions.landholder_pauses(world.link, world.permission, via="link", at=now(), **values)


def test_a_pause_takes_effect_at_once_and_the_trail_says_it_came_by_the_link(world: World) -> None:
    pause(world)
    world.permission.refresh_from_db()
    assert (world.permission.state, world.permission.paused_why) == (State.PAUSED, "lambing until May")
    lines = AuditEntry.objects.filter(verb__in=["permission.paused", "landholder.paused"])
    assert {(line.by, line.via) for line in lines} == {(None, "link")}
    assert lines.count() == 2


def test_a_pause_sent_twice_is_one_pause(world: World) -> None:
    key = uuid4()
    assert pause(world, client_id=key).pk == pause(world, client_id=key).pk
    assert AuditEntry.objects.filter(verb__startswith="permission.pause").count() == 1


def test_a_pause_tells_the_leader_and_everybody_signed_up(
    world: World, django_capture_on_commit_callbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        pause(world)
    assert {message.to[0] for message in mail.outbox} == {world.leader.email, world.member.email}
    assert all("Please do not go to the field" in message.body for message in mail.outbox)


def test_a_permission_that_has_ended_cannot_be_paused_and_no_answer_is_kept(world: World) -> None:
    type(world.permission).objects.filter(pk=world.permission.pk).update(state=State.ENDED)
    with pytest.raises(IllegalMoveError), transaction.atomic():
        pause(world)
    assert not LandholderAnswer.objects.filter(what="paused").exists()


def test_the_secretary_settles_a_concern_once(world: World) -> None:
    for words in ("the gate is mended", "again"):
        actions.concern_settled(world.answer.pk, by=world.secretary, at=now(), words=words)
    assert [row.words for row in Concern.objects.all()] == ["the gate is mended"]
    assert AuditEntry.objects.filter(verb="landholder.settled").count() == 1


@pytest.mark.parametrize("who", ["member", "leader", "committee", "stranger"])
def test_nobody_else_settles_a_concern(world: World, who: str) -> None:
    with pytest.raises(PermissionDenied):
        actions.concern_settled(world.answer.pk, by=world.reader(who), at=now(), words="x")
    assert not Concern.objects.exists()
