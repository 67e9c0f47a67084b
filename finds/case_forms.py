"""The forms on the page of a case. Each has identifiers of its own, so that labels meet their fields."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from finds.actions.case_steps import open_proposal
from finds.case_course import WAITING, CaseLook
from finds.case_people import finders_of, may_have_task
from finds.forms import (
    AcknowledgedForm,
    DecisionForm,
    MessageForm,
    MoveForm,
    NoteForm,
    ProposeForm,
    ReportForm,
    SecondForm,
    StageForm,
    TakeBackForm,
    TaskDoneForm,
    TaskForm,
)
from finds.models import Case, Find
from finds.states import CASE_MOVES, CaseState
from people.models import User
from people.rights import Right
from tongue import noop

# Moves made with their own form stand elsewhere on the page.
BY_OWN_FORM = {CaseState.REPORTED, CaseState.ACKNOWLEDGED, CaseState.DECIDED, CaseState.NO_DUTY}
MOVE_WORDS = {
    CaseState.REVIEW: (noop("Take it up"), noop("Take it up for review")),
    CaseState.CLOSED: (noop("Close it"), noop("Close the case")),
}
AGAIN = CaseState.REPORTED, CaseState.ACKNOWLEDGED, CaseState.DECIDED


def case_forms(
    case: Case, user: User, look: CaseLook, finds: Sequence[Find], *, today: date
) -> dict[str, Any]:
    """Every form that this reader may send about the case as it stands, by the name the page knows it by."""
    may_review, state = user.holds(Right.REVIEW_CASES), CaseState(case.state)
    own = any(find.finder_id == user.pk for find in finds)
    forms: dict[str, Any] = {"moves": [], "may_report": False, "may_write": may_review or own}
    if may_review or own:
        forms["may_report"] = CaseState.REPORTED in CASE_MOVES[state] or state in AGAIN
        forms["report_again"] = state in AGAIN
        forms["reportform"] = report_form(case, today=today)
        forms["messageform"] = message_form(case, user)
    forms["doneform"] = TaskDoneForm(auto_id="done-%s")
    return forms | (_committee_forms(case, look, state, today) if may_review else {})


def _committee_forms(case: Case, look: CaseLook, state: CaseState, today: date) -> dict[str, Any]:
    allowed = CASE_MOVES[state]
    return {
        "moves": [move_row(to) for to in sorted(allowed - BY_OWN_FORM)],
        "noteform": NoteForm(auto_id="note-%s"),
        "ackform": AcknowledgedForm(auto_id="ack-%s", initial={"on": today}),
        "may_acknowledge": CaseState.ACKNOWLEDGED in allowed,
        "decideform": DecisionForm(auto_id="decide-%s", initial={"on": today}),
        "may_decide": CaseState.DECIDED in allowed or state is CaseState.DECIDED,
        "decided": state is CaseState.DECIDED,
        "proposeform": ProposeForm(auto_id="propose-%s"),
        "secondform": second_form(case),
        "takebackform": take_back_form(case),
        "taskform": task_form(case, today=today),
        "stageform": stage_form(look) if state in WAITING and _stages(look) else None,
    }


def move_row(to: CaseState, form: MoveForm | None = None) -> dict[str, Any]:
    said = MOVE_WORDS.get(to)
    button, title = (
        (_(said[0]), _(said[1]))
        if said
        else (_("Move it"), _("Move to “%(to_value)s”") % {"to_value": _(to.value)})
    )
    blank = MoveForm(initial={"to": to.value}, auto_id=f"{to.name.lower()}-%s")
    return {"to": to, "title": title, "button": button, "form": form or blank}


def report_form(case: Case, *args: Any, today: date) -> ReportForm:
    return ReportForm(*args, authority=case.authority, today=today, auto_id="report-%s")


def message_form(case: Case, user: User, *args: Any) -> MessageForm:
    """The committee chooses to which finder; a finder writes in their own thread. Who is both chooses too."""
    finders = finders_of(case)
    if not user.holds(Right.REVIEW_CASES):
        finders = finders.filter(pk=user.pk)
    return MessageForm(*args, finders=finders, auto_id="message-%s")


def task_form(case: Case, *args: Any, today: date) -> TaskForm:
    return TaskForm(*args, people=may_have_task(case, today), auto_id="task-%s")


def stage_form(look: CaseLook, *args: Any) -> StageForm:
    return StageForm(*args, stages=_stages(look), auto_id="stage-%s")


def second_form(case: Case, *args: Any) -> SecondForm:
    return SecondForm(*args, initial=_proposal(case), auto_id="second-%s")


def take_back_form(case: Case, *args: Any) -> TakeBackForm:
    return TakeBackForm(*args, initial=_proposal(case), auto_id="takeback-%s")


def _proposal(case: Case) -> dict[str, Any]:
    waiting = open_proposal(case) if case.state == CaseState.REVIEW else None
    return {"proposal": waiting.pk if waiting else None}


def _stages(look: CaseLook) -> list[tuple[str, str]]:
    stages = [each.stage for course in look.courses for each in course.stages]
    return [(stage.id, stage.title) for stage in stages if not stage.is_report]
