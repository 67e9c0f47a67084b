"""What people say and do about a case: messages between finder and committee, tasks, stages that were reached."""

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds import case_course  # the module whole: it reads pages that import these actions
from finds.actions.case_steps import CaseError, event, hold_case
from finds.case_people import committee_on, is_finder, may_have_task
from finds.models import Case, CaseMessage, CaseStage, CaseTask
from finds.states import LOCKS
from law.stages import Stage
from people import audit
from people.languages import speaking
from people.letter_kinds import LetterKind
from people.letters import compose, queue
from people.models import User
from people.rights import Right, require
from web.taken import create_once


@transaction.atomic
def send_case_message(
    case_id: int, *, by: User, at: datetime, finder: int, words: str, asks: bool, client_id: UUID
) -> CaseMessage:
    """Write to a finder of the case as the committee, or to the committee as that finder.

    An e-mail tells the other side that there is one. It holds neither the words nor what was found where.
    """
    case = Case.objects.select_for_update().get(pk=case_id)
    to = User.objects.filter(pk=finder).first()
    if to is None or not is_finder(case, to):
        raise CaseError(_("That is no finder of this case; choose one of those who found it."))
    if by.pk != to.pk:
        require(by, Right.REVIEW_CASES)
    row, made = create_once(
        CaseMessage, case=case, finder=to, by=by, at=at, words=words, asks=asks, client_id=client_id
    )
    if made:
        audit.record("case.message", case, by=by, at=at)
        _tell([to] if by.pk != to.pk else committee_on(localdate(at)).exclude(pk=to.pk), case)
    return row


def _tell(people: Iterable[User], case: Case) -> None:
    queue(
        compose(
            person.email,
            LetterKind.CLUB,
            "finds/mail/case_message",
            {"person": person, "number": case.number},
        )
        for person in people
    )


@transaction.atomic
def add_case_task(
    case_id: int, *, by: User, at: datetime, what: str, whose: int, due_on: date | None, client_id: UUID
) -> CaseTask:
    """Give somebody who sees the case something to do about it. It stands on their Today until it is done."""
    require(by, Right.REVIEW_CASES)
    case = Case.objects.select_for_update().get(pk=case_id)
    if case.state not in LOCKS:
        raise CaseError(
            _("Case %(case_number)s has ended (%(case_state)s); take it up again first.")
            % {"case_number": case.number, "case_state": _(case.state)}
        )
    person = may_have_task(case, localdate(at)).filter(pk=whose).first()
    if person is None:
        raise CaseError(
            _(
                "That person does not see this case; choose one of the committee, its finders or the hunt's leader."
            )
        )
    row, made = create_once(
        CaseTask,
        case=case,
        what=what,
        whose=person,
        due_on=due_on,
        made_at=at,
        made_by=by,
        client_id=client_id,
    )
    if made:
        audit.record("case.task", case, by=by, at=at)
    return row


@transaction.atomic
def case_task_done(task_id: int, *, by: User, at: datetime, words: str) -> CaseTask:
    """Say that a task is done: whoever has it, or the committee. A second time changes nothing."""
    task = CaseTask.objects.select_for_update(of=("self",)).select_related("case").get(pk=task_id)
    if by.pk != task.whose_id and not by.holds(Right.REVIEW_CASES):
        raise PermissionDenied(_("Only whoever has the task and the committee say that it is done."))
    if task.done_at is None:
        task.done_at, task.done_by, task.done_words = at, by, words
        task.save(update_fields=["done_at", "done_by", "done_words"])
        said = f"{task.what}. {words}" if words else task.what
        event(task.case, "task done", by=by, at=at, words=said)
        audit.record("case.task_done", task.case, by=by, at=at)
    return task


@transaction.atomic
def reach_stage(
    case_id: int, *, by: User, at: datetime, stage: str, on: date | None, words: str, client_id: UUID
) -> CaseStage:
    """Record that the case reached a stage of the procedure on a day; without a day, take back what was recorded."""
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    there = CaseStage.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    known = _stage_of(case, stage)
    if case.state not in case_course.WAITING:
        raise CaseError(
            _("The case is %(case_state)s; stages begin once it was reported.")
            % {"case_state": _(case.state)}
        )
    if on is not None:
        _check_stage_day(case, on, at)
    row = CaseStage.objects.create(
        case=case, stage=known.id, on=on, words=words, at=at, by=by, client_id=client_id
    )
    with speaking(""):
        day = date_format(on, "j M Y") if on else _("taken back")
        said = f"{known.title}: {day}. {words}".strip()
    event(case, "stage reached" if on else "stage taken back", by=by, at=at, words=said)
    audit.record("case.stage", case, by=by, at=at, stage=known.id)
    return row


def _stage_of(case: Case, stage_id: str) -> Stage:
    looks = [look for course in case_course.looks_of([case])[0].courses for look in course.stages]
    for look in looks:
        if look.stage.id == stage_id and not look.stage.is_report:
            return look.stage
    raise CaseError(
        _("“%(stage_id)s” is no stage that this case goes through; choose one of the list.")
        % {"stage_id": stage_id}
    )


def _check_stage_day(case: Case, on: date, at: datetime) -> None:
    if on > localdate(at):
        raise CaseError(
            _("%(on)s has not come yet; give the day on which it was reached.")
            % {"on": date_format(on, "j M Y")}
        )
    if case.reported_on is not None and on < case.reported_on:
        raise CaseError(
            _("%(on)s is before the report of %(case_reported_on)s; give the day on which it was reached.")
            % {"on": date_format(on, "j M Y"), "case_reported_on": date_format(case.reported_on, "j M Y")}
        )
