"""Everything that is sent from the page of a case. What cannot be done is said beside the form, with what was typed."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from finds import actions
from finds import case_forms as forms
from finds.case_course import looks_of
from finds.case_page import case_context
from finds.case_people import is_finder
from finds.forms import AcknowledgedForm, DecisionForm, MoveForm, NoteForm, ProposeForm, TaskDoneForm
from finds.models import Case, CaseTask, CaseVote
from finds.states import CaseState
from people.http import MemberRequest
from people.rights import Right, require
from web.states import IllegalMoveError


def _case(request: MemberRequest, pk: int) -> Case:
    case: Case = get_object_or_404(Case.objects.visible_to(request.user), pk=pk)
    return case


def _reviewed(request: MemberRequest, pk: int) -> Case:
    case = _case(request, pk)
    require(request.user, Right.REVIEW_CASES)
    return case


def _done(
    request: MemberRequest, case: Case, name: str, form: Any, act: Callable[[dict[str, Any]], Any]
) -> HttpResponse:
    """Do it and show the case; or show the case with the form as it was sent and why it was not taken."""
    if form.is_valid():
        try:
            act(form.cleaned_data)
            return redirect("finds:case_detail", pk=case.pk)
        except (actions.CaseError, IllegalMoveError) as error:
            form.add_error(None, str(error))
    return _again(request, case, {name: form})


def _again(request: MemberRequest, case: Case, bound: dict[str, Any]) -> HttpResponse:
    case.refresh_from_db()
    context = case_context(case, request.user, at=now(), bound=bound)
    return render(request, "finds/case_detail.html", context | {"sent": next(iter(bound))})


@require_POST
def case_move(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    wanted = next((to for to in CaseState if to == request.POST.get("to")), CaseState.REVIEW)
    form = MoveForm(request.POST, auto_id=f"{wanted.name.lower()}-%s")

    def act(said: dict[str, Any]) -> None:
        actions.move_case(pk, wanted, by=request.user, at=now(), words=said["words"])

    if form.is_valid():
        return _done(request, case, "moveform", form, act)
    return _again(request, case, {"moves": [forms.move_row(wanted, form)]})


@require_POST
def case_report(request: MemberRequest, pk: int) -> HttpResponse:
    """The committee, or the finder who reported directly, keeps the report and what shows it."""
    case = _case(request, pk)
    if not is_finder(case, request.user):
        require(request.user, Right.REVIEW_CASES)
    form = forms.report_form(case, request.POST, request.FILES, today=localdate())
    act = _with(actions.case_reported, pk, request)
    return _done(request, case, "reportform", form, act)


@require_POST
def case_acknowledge(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = AcknowledgedForm(request.POST, auto_id="ack-%s")
    return _done(request, case, "ackform", form, _with(actions.case_acknowledged, pk, request))


@require_POST
def case_decide(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = DecisionForm(request.POST, auto_id="decide-%s")

    def act(_rest: dict[str, Any]) -> None:
        actions.decide_case(pk, by=request.user, at=now(), **form.kept)

    return _done(request, case, "decideform", form, act)


@require_POST
def case_propose(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = ProposeForm(request.POST, auto_id="propose-%s")
    return _done(request, case, "proposeform", form, _with(actions.propose_no_duty, pk, request))


@require_POST
def case_second(request: MemberRequest, pk: int) -> HttpResponse:
    """The second signature; a first one that does not stand any more is said to have lapsed, and nothing is signed."""
    case = _reviewed(request, pk)
    form = forms.second_form(case, request.POST)

    def act(said: dict[str, Any]) -> None:
        row = actions.answer_no_duty(pk, by=request.user, at=now(), **said)
        if row.says == CaseVote.Says.LAPSED:
            messages.warning(
                request,
                _("The first signature lapsed; nothing was signed. %(row_words)s") % {"row_words": row.words},
            )

    return _done(request, case, "secondform", form, act)


@require_POST
def case_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = forms.take_back_form(case, request.POST)
    return _done(request, case, "takebackform", form, _with(actions.take_back_no_duty, pk, request))


@require_POST
def case_message(request: MemberRequest, pk: int) -> HttpResponse:
    case = _case(request, pk)
    if not is_finder(case, request.user):
        require(request.user, Right.REVIEW_CASES)
    form = forms.message_form(case, request.user, request.POST)
    return _done(request, case, "messageform", form, _with(actions.send_case_message, pk, request))


@require_POST
def case_note(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = NoteForm(request.POST, auto_id="note-%s")
    return _done(request, case, "noteform", form, _with(actions.add_note, case, request))


@require_POST
def case_task(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = forms.task_form(case, request.POST, today=localdate())
    return _done(request, case, "taskform", form, _with(actions.add_case_task, pk, request))


@require_POST
def task_done(request: MemberRequest, pk: int) -> HttpResponse:
    task = get_object_or_404(CaseTask.objects.visible_to(request.user).select_related("case"), pk=pk)
    form = TaskDoneForm(request.POST, auto_id="done-%s")
    return _done(request, task.case, "doneform", form, _with(actions.case_task_done, pk, request))


@require_POST
def case_stage(request: MemberRequest, pk: int) -> HttpResponse:
    case = _reviewed(request, pk)
    form = forms.stage_form(looks_of([case])[0], request.POST)
    return _done(request, case, "stageform", form, _with(actions.reach_stage, pk, request))


def _with(
    action: Callable[..., Any], subject: Any, request: MemberRequest
) -> Callable[[dict[str, Any]], Any]:
    """The action about `subject` by this reader now, with what a form says."""
    return lambda said: action(subject, by=request.user, at=now(), **said)
