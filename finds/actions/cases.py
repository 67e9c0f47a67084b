"""Heritage cases: opened by screening, moved by the committee, reported by the committee or the finder."""

from collections.abc import Sequence
from datetime import date, datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from finds.actions.locks import match_lock
from finds.models import Case, CaseEvent, Find
from finds.states import CASE_MOVES, CLOCK_RUNS, LOCKS, CaseState
from law.screen import DutyFound
from people import audit
from people.models import User
from people.rights import Right, require
from web.states import check_move


def open_case(
    find: Find,
    duty: DutyFound,
    *,
    finds: Sequence[Find],
    due_on: date | None,
    by: User | None,
    at: datetime,
) -> Case:
    """Open a case about `find`, or bring the running one of its group up to date. Inside a transaction.

    `finds` are all that were left together with it, itself included: one case holds them all.
    """
    case = _running_case(find)
    if case is None:
        case = Case.objects.create(
            number=f"C{find.number}",
            opened_at=at,
            due_on=due_on,
            due_words=duty.due.words[:200],
            authority=duty.authority,
        )
        _event(
            case, "opened", by=by, at=at, words=f"{duty.title}: {' '.join(duty.why)}", to=CaseState.FLAGGED
        )
        audit.record("case.open", case, by=by, at=at)
    elif due_on is not None and case.due_on != due_on and case.state in CLOCK_RUNS:
        # The earliest day ever given stands: a later belief must not move a clock that has started.
        earliest = min(day for day in (case.due_on, due_on) if day)
        if earliest != case.due_on:
            case.due_on = earliest
            case.save(update_fields=["due_on"])
            _event(case, "due date changed", by=by, at=at, words=f"{earliest:%-d %B %Y}")
    case.finds.add(*finds)
    if CaseState(case.state) not in LOCKS:
        # It had ended, and what is known of the find has changed since: somebody has to look again.
        words = "What is known of the find changed after the case had ended."
        _move(case.pk, CaseState.REVIEW, by=by, at=at, verb="opened again", words=words)
        case.refresh_from_db()
    return case


def _running_case(find: Find) -> Case | None:
    mine = Case.objects.filter(finds=find)
    if find.group_id is not None:
        mine = Case.objects.filter(finds__group_id=find.group_id)
    return mine.filter(state__in=LOCKS).order_by("pk").distinct().first() or ended_case(find)


def ended_case(find: Find) -> Case | None:
    """The latest case of `find` that has ended, where none still runs."""
    cases = Case.objects.filter(finds=find)
    return None if cases.filter(state__in=LOCKS).exists() else cases.first()


def ended_cases(finds: Sequence[Find]) -> set[int]:
    """Which of these finds, by primary key, had a case and have none that still runs; in one query."""
    rows = Case.objects.filter(finds__in=finds).order_by().values_list("finds", "state")
    wanted = {find.pk for find in finds}
    had = {key for key, _ in rows if key in wanted}
    return had - {key for key, state in rows if state in LOCKS}


def note_on_running(find: Find, *, by: User, at: datetime, words: str) -> None:
    """Write a line on every running case of `find`. Inside a transaction."""
    for case in Case.objects.filter(finds=find, state__in=LOCKS):
        _event(case, "note", by=by, at=at, words=words)


def _event(
    case: Case, verb: str, *, by: User | None, at: datetime, words: str = "", to: str = ""
) -> CaseEvent:
    return CaseEvent.objects.create(case=case, verb=verb, by=by, at=at, words=words, to_state=to)


def _move(case_id: int, to: CaseState, *, by: User | None, at: datetime, verb: str, words: str) -> Case:
    case = Case.objects.select_for_update().get(pk=case_id)
    check_move(CASE_MOVES, CaseState(case.state), to)
    case.state = to
    case.save(update_fields=["state"])
    _event(case, verb, by=by, at=at, words=words, to=to)
    audit.record(f"case.{to.name.lower()}", case, by=by, at=at)
    _match_locks(case, by=by, at=at)
    return case


def _match_locks(case: Case, *, by: User | None, at: datetime) -> None:
    """Findspots are locked while a case about them runs, and opened when all have ended and no incident holds them."""
    for find in case.finds.select_related("hole"):
        match_lock(find, by=by, at=at)


@transaction.atomic
def move_case(case_id: int, to: CaseState, *, by: User, at: datetime, words: str) -> Case:
    """Take a case to the next state with the reason in words. Raises IllegalMoveError."""
    require(by, Right.REVIEW_CASES)
    return _move(case_id, to, by=by, at=at, verb="moved", words=words)


@transaction.atomic
def case_reported(case_id: int, *, by: User, at: datetime, on: date, reference: str, words: str) -> Case:
    """Record that the authority was told: by the committee, or by the finder who reported directly."""
    case = Case.objects.select_for_update().get(pk=case_id)
    if not by.holds(Right.REVIEW_CASES) and not case.finds.filter(finder=by).exists():
        raise PermissionDenied("Only the committee and the finder record a report to the authority.")
    case.reported_on, case.report_reference = on, reference
    case.save(update_fields=["reported_on", "report_reference"])
    return _move(case_id, CaseState.REPORTED, by=by, at=at, verb="reported", words=words)


@transaction.atomic
def decide_case(case_id: int, *, by: User, at: datetime, decision: str, words: str) -> Case:
    """Record the authority's decision: returned, acquired, disclaimed or other, with its words."""
    require(by, Right.REVIEW_CASES)
    case = Case.objects.select_for_update().get(pk=case_id)
    case.decision = decision
    case.save(update_fields=["decision"])
    return _move(case_id, CaseState.DECIDED, by=by, at=at, verb="decided", words=words)


@transaction.atomic
def add_note(case: Case, *, by: User, at: datetime, words: str) -> CaseEvent:
    """Add a note or a message to the case's history."""
    if not by.holds(Right.REVIEW_CASES) and not case.finds.filter(finder=by).exists():
        raise PermissionDenied("Only the committee and the finder write on a case.")
    audit.record("case.note", case, by=by, at=at)
    return _event(case, "note", by=by, at=at, words=words)
