"""Reports, confirmations, outcomes, stages, messages and tasks of a case: each rule, and what must fail."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.core.exceptions import PermissionDenied
from django.core.files.base import ContentFile
from django.utils.timezone import localdate, now

from finds.actions import (
    CaseError,
    RewardPart,
    add_case_task,
    add_note,
    case_acknowledged,
    case_reported,
    case_task_done,
    decide_case,
    hand_over,
    move_case,
    reach_stage,
    send_case_message,
)
from finds.case_course import looks_of
from finds.case_home import not_where_it_should_be
from finds.models import Case, CaseMessage, CaseOutcome, CaseReport, CaseTask
from finds.states import CaseState
from people.models import Letter, User
from people.rights import Role
from permissions.evidence import Evidence
from tests import make, make_cases
from web.states import IllegalMoveError

pytestmark = pytest.mark.django_db


@pytest.fixture
def case(member: User, leader: User) -> Case:
    make.club(currency="GBP")
    hunt = make.hunt(leader=leader, state="running", starts_at="00:01", ends_at="23:59")
    make.attendance(hunt, member)
    return make_cases.case(hunt, member, found_at=now() - timedelta(days=30))


ALL = [RewardPart("finder", Decimal(100))]
SHORT = [RewardPart("finder", Decimal(99))]


def report(case: Case, by: User, **fields: Any) -> Case:
    said = {"on": localdate(), "reference": "", "words": "", "how": "letter", "to": "the coroner"} | fields
    return case_reported(case.pk, by=by, at=now(), **said)


def decide(case: Case, by: User, **fields: Any) -> Case:
    said = {"decision": "returned", "words": "by letter", "on": localdate()} | fields
    return decide_case(case.pk, by=by, at=now(), **said)


def stage(case: Case, by: User, name: str, on: date | None, **fields: Any) -> Any:
    said = {"words": "", "client_id": uuid4()} | fields
    return reach_stage(case.pk, by=by, at=now(), stage=name, on=on, **said)


def test_a_finder_reports_directly_and_keeps_what_shows_it(
    case: Case, member: User, settings, tmp_path
) -> None:
    settings.MEDIA_ROOT = tmp_path
    copy = Evidence(ContentFile(b"%PDF-1.7 letter"), "letter.pdf", "consents/ab/x.pdf")
    report(
        case, member, on=make.days(-2), reference="2026 T1", how="in person", to="Ida Drift", evidence=copy
    )
    row = CaseReport.objects.get()
    assert (row.by, row.how, row.to, row.reference, row.on) == (
        member,
        "in person",
        "Ida Drift",
        "2026 T1",
        make.days(-2),
    )
    with row.file.open("rb") as file:
        assert file.read() == b"%PDF-1.7 letter"
    assert row.file.name.startswith("told/")
    case.refresh_from_db()
    assert (case.state, case.reported_on, case.report_reference) == (
        CaseState.REPORTED,
        make.days(-2),
        "2026 T1",
    )


@pytest.mark.parametrize("day", [1, -31])
def test_a_report_on_a_day_that_cannot_be_is_refused(day: int, case: Case, member: User) -> None:
    with pytest.raises(CaseError, match="give the day"):
        report(case, member, on=make.days(day))
    case.refresh_from_db()
    assert (case.state, CaseReport.objects.count()) == (CaseState.FLAGGED, 0)


def test_the_leader_and_others_do_not_report_for_the_finder(
    case: Case, leader: User, secretary: User
) -> None:
    for other in (leader, secretary, make.person()):
        with pytest.raises(PermissionDenied):
            report(case, other)


def test_a_report_sent_twice_is_kept_once_and_a_further_one_beside_it(
    case: Case, member: User, committee: User
) -> None:
    key = uuid4()
    report(case, member, client_id=key)
    report(case, member, client_id=key)
    report(case, committee, on=make.days(-3), reference="T 9")
    case.refresh_from_db()
    assert CaseReport.objects.count() == 2
    assert (case.state, case.reported_on, case.report_reference) == (CaseState.REPORTED, make.days(-3), "T 9")


def test_the_finder_can_report_what_two_thought_nothing_of(case: Case, member: User, committee: User) -> None:
    move_case(case.pk, CaseState.REVIEW, by=committee, at=now(), words="x")
    make_cases.no_duty(case, committee)
    report(case, member)
    case.refresh_from_db()
    assert (case.state, case.finds.get().locked) == (CaseState.REPORTED, True)


def test_a_confirmation_has_its_day_and_reference(case: Case, member: User, committee: User) -> None:
    report(case, member, on=make.days(-5))
    said = {"by": committee, "at": now(), "reference": "INV 7", "words": "by e-mail"}
    with pytest.raises(CaseError, match=r"before .* when it was reported"):
        case_acknowledged(case.pk, on=make.days(-6), **said)
    case_acknowledged(case.pk, on=make.days(-4), **said)
    case.refresh_from_db()
    assert (case.state, case.acknowledged_on, case.report_reference) == (
        CaseState.ACKNOWLEDGED,
        make.days(-4),
        "INV 7",
    )


@pytest.mark.parametrize("to", [CaseState.REPORTED, CaseState.DECIDED, CaseState.NO_DUTY])
def test_moves_with_a_way_of_their_own_are_not_made_with_a_word(
    to: CaseState, case: Case, committee: User
) -> None:
    with pytest.raises(CaseError):
        move_case(case.pk, to, by=committee, at=now(), words="x")


@pytest.mark.parametrize("act", ["acknowledge", "decide", "stage"])
def test_nothing_follows_a_report_that_was_not_made(act: str, case: Case, committee: User) -> None:
    acts = {
        "acknowledge": lambda: case_acknowledged(
            case.pk, by=committee, at=now(), on=localdate(), reference="", words=""
        ),
        "decide": lambda: decide(case, committee),
        "stage": lambda: stage(case, committee, "ta-handed-in", localdate()),
    }
    with pytest.raises((IllegalMoveError, CaseError)):
        acts[act]()
    case.refresh_from_db()
    assert (case.state, case.acknowledged_on, case.decided_on) == (CaseState.FLAGGED, None, None)


def test_a_reward_is_shared_to_the_penny_and_kept_apart(case: Case, member: User, committee: User) -> None:
    report(case, member)
    third = Decimal("33.333")
    parts = [
        RewardPart("finder", third),
        RewardPart("owner", third),
        RewardPart("other", third + Decimal("0.001")),
    ]
    decide(case, committee, decision="acquired", reward=Decimal("1000.00"), parts=parts, reference="VC 3")
    outcome = CaseOutcome.objects.get()
    amounts = [share.amount for share in outcome.shares.all()]
    assert sum(amounts) == Decimal(1000)
    assert amounts == [Decimal("333.33"), Decimal("333.33"), Decimal("333.34")]
    assert (outcome.currency, outcome.reference) == ("GBP", "VC 3")


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"reward": Decimal(10), "parts": ALL}, "belongs to a find that was acquired"),
        ({"decision": "acquired", "reward": Decimal(10)}, "add up to 0 %"),
        ({"decision": "acquired", "reward": Decimal(10), "parts": SHORT}, "add up to 99 %"),
        ({"decision": "acquired", "reward": Decimal("0.001"), "parts": ALL}, "finer than"),
        ({"decision": "acquired", "reward": Decimal(0), "parts": ALL}, "cannot be shared"),
        ({"decision": "acquired", "parts": ALL}, "Shares without a reward"),
        ({"on": date(2100, 1, 1)}, "has not come yet"),
    ],
)  # fmt: skip
def test_an_outcome_that_does_not_add_up_is_refused_whole(
    fields: dict[str, Any], said: str, case: Case, member: User, committee: User
) -> None:
    report(case, member)
    with pytest.raises(CaseError, match=said):
        decide(case, committee, **fields)
    case.refresh_from_db()
    assert (case.state, case.decision, CaseOutcome.objects.count()) == (CaseState.REPORTED, "", 0)


def test_a_decision_is_corrected_by_a_further_row(case: Case, member: User, committee: User) -> None:
    report(case, member)
    decide(case, committee, decision="returned")
    decide(case, committee, decision="disclaimed", words="their second letter")
    case.refresh_from_db()
    assert [row.decision for row in case.outcomes.all()] == ["returned", "disclaimed"]
    assert (case.state, case.decision) == (CaseState.DECIDED, "disclaimed")
    assert case.events.latest("pk").verb == "decision corrected"


@pytest.mark.parametrize(
    ("decision", "away", "home"),
    [
        ("returned", "officer", "finder"),
        ("disclaimed", "museum", "landholder"),
        ("acquired", "club", "museum"),
    ],
)
def test_a_case_closes_when_custody_shows_where_the_decision_sends_it(
    decision: str, away: str, home: str, case: Case, member: User, committee: User
) -> None:
    find = case.finds.get()
    move = {"by": committee, "at": now(), "purpose": "x", "to_name": "Somebody"}
    report(case, member)
    hand_over(find.pk, after_step=1, to_holder=away, **move)
    case = decide(case, committee, decision=decision)
    assert [row.find for row in not_where_it_should_be([case])] == [find]
    with pytest.raises(CaseError, match=f"{find.number} was {decision}"):
        move_case(case.pk, CaseState.CLOSED, by=committee, at=now(), words="done")
    hand_over(find.pk, after_step=2, to_holder=home, **move)
    assert not_where_it_should_be([case]) == []
    assert (
        move_case(case.pk, CaseState.CLOSED, by=committee, at=now(), words="done").state == CaseState.CLOSED
    )


def test_stages_have_days_and_the_late_one_comes_first(case: Case, member: User, committee: User) -> None:
    report(case, member, on=make.days(-29))
    stage(case, committee, "ta-museums-told", make.days(-29))
    look = looks_of([Case.objects.get(pk=case.pk)])[0]
    assert (look.due, look.is_late(localdate())) == (make.days(-1), True)
    assert look.due_words == "Museum says whether it is interested"
    stage(case, committee, "ta-interest", make.days(-1))
    assert looks_of([Case.objects.get(pk=case.pk)])[0].due is None


def test_a_stage_is_taken_back_by_a_row_without_a_day(case: Case, member: User, committee: User) -> None:
    report(case, member, on=make.days(-3))
    stage(case, committee, "ta-museums-told", make.days(-2))
    stage(case, committee, "ta-museums-told", None)
    assert looks_of([Case.objects.get(pk=case.pk)])[0].due is None
    assert case.stages.count() == 2


@pytest.mark.parametrize(
    ("name", "day", "said"),
    [
        ("ta-museums-told", 1, "has not come yet"),
        ("ta-museums-told", -9, "before the report"),
        ("ie-form", 0, "no stage that this case goes through"),
        ("ta-notified", 0, "no stage that this case goes through"),
    ],
)
def test_a_stage_that_cannot_be_is_refused(
    name: str, day: int, said: str, case: Case, member: User, committee: User
) -> None:
    report(case, member, on=make.days(-3))
    with pytest.raises(CaseError, match=said):
        stage(case, committee, name, make.days(day))
    with pytest.raises(PermissionDenied):
        stage(case, member, name, make.days(day))


def write(case: Case, by: User, finder: User, words: str = "How deep was it?", **fields: Any) -> CaseMessage:
    said = {"asks": True, "client_id": uuid4()} | fields
    return send_case_message(case.pk, by=by, at=now(), finder=finder.pk, words=words, **said)


def test_a_message_is_mailed_without_words_or_place(
    case: Case, member: User, committee: User, django_capture_on_commit_callbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        write(case, committee, member, "The ring from TA 4301 1234, hedge side")
    letter = Letter.objects.get()
    [sent] = mail.outbox
    assert letter.to == member.email
    html = sent.alternatives[0][0]
    for text in (sent.subject, sent.body, html):
        assert not any(word in text for word in ("TA 4301", "hedge", "53.6", "ring"))
    assert case.number in sent.body


def test_a_finders_message_goes_to_the_committee_once(case: Case, member: User, committee: User) -> None:
    other, key = make.person(Role.COMMITTEE), uuid4()
    write(case, member, member, client_id=key)
    write(case, member, member, client_id=key)
    assert CaseMessage.objects.count() == 1
    assert set(Letter.objects.values_list("to", flat=True)) == {committee.email, other.email}


def test_threads_are_private(case: Case, member: User, leader: User, committee: User) -> None:
    row = write(case, committee, member)
    assert list(CaseMessage.objects.visible_to(member)) == [row]
    assert list(CaseMessage.objects.visible_to(leader)) == []
    for other in (leader, make.person()):
        with pytest.raises(PermissionDenied):
            write(case, other, member)
        with pytest.raises(CaseError, match="no finder of this case"):
            write(case, committee, other)
    assert list(CaseMessage.objects.visible_to(committee).unanswered()) == [row]
    write(case, member, member, "two spits", asks=False)
    assert not CaseMessage.objects.visible_to(committee).unanswered().exists()


def task(case: Case, by: User, whose: User, **fields: Any) -> CaseTask:
    said = {"what": "weigh it", "due_on": None, "client_id": uuid4()} | fields
    return add_case_task(case.pk, by=by, at=now(), whose=whose.pk, **said)


def test_a_task_is_for_those_who_see_the_case_and_done_by_them(
    case: Case, member: User, leader: User, committee: User
) -> None:
    for whose in (member, leader, committee):
        made = task(case, committee, whose)
        assert made in CaseTask.objects.visible_to(whose).open()
    assert CaseTask.objects.visible_to(member).count() == 1
    with pytest.raises(CaseError, match="does not see this case"):
        task(case, committee, make.person())
    with pytest.raises(PermissionDenied):
        task(case, member, member)
    row = CaseTask.objects.get(whose=member)
    with pytest.raises(PermissionDenied):
        case_task_done(row.pk, by=leader, at=now(), words="")
    first = case_task_done(row.pk, by=member, at=now(), words="4.2 g")
    again = case_task_done(row.pk, by=committee, at=now(), words="other")
    assert (again.done_by, again.done_words, again.done_at) == (member, "4.2 g", first.done_at)


def test_an_ended_case_has_no_open_tasks(case: Case, member: User, committee: User) -> None:
    task(case, committee, member)
    Case.objects.filter(pk=case.pk).update(state=CaseState.CLOSED)
    assert not CaseTask.objects.visible_to(member).open().exists()
    with pytest.raises(CaseError, match="has ended"):
        task(case, committee, member)


def test_notes_are_the_committees(case: Case, member: User, committee: User) -> None:
    with pytest.raises(PermissionDenied):
        add_note(case, by=member, at=now(), words="x")
    assert add_note(case, by=committee, at=now(), words="ask the museum").verb == "note"
