"""Heritage cases: opened by screening, moved by the committee, reported by the committee or the finder."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from uuid import UUID, uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.case_steps import CaseError, event, hold_case, step
from finds.case_home import not_where_it_should_be
from finds.case_people import is_finder
from finds.models import Case, CaseEvent, CaseReport, Find
from finds.models.case_parts import How
from finds.states import CLOCK_RUNS, LOCKS, CaseState
from law.screen import DutyFound
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from permissions.evidence import Evidence
from tongue import noop
from web.files import private_name


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
        event(case, "opened", by=by, at=at, words=f"{duty.title}: {' '.join(duty.why)}", to=CaseState.FLAGGED)
        audit.record("case.open", case, by=by, at=at)
    elif due_on is not None and case.due_on != due_on and case.state in CLOCK_RUNS:
        # The earliest day ever given stands: a later belief must not move a clock that has started.
        earliest = min(day for day in (case.due_on, due_on) if day)
        if earliest != case.due_on:
            case.due_on = earliest
            case.save(update_fields=["due_on"])
            with speaking(""):
                event(case, "due date changed", by=by, at=at, words=date_format(earliest, "j F Y"))
    case.finds.add(*finds)
    if CaseState(case.state) not in LOCKS:
        # It had ended, and what is known of the find has changed since: somebody has to look again.
        with speaking(""):
            words = _("What is known of the find changed after the case had ended.")
        held = Case.objects.select_for_update().get(pk=case.pk)
        case = step(held, CaseState.REVIEW, by=by, at=at, verb="opened again", words=words)
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
    had = {key for key, _rest in rows if key in wanted}
    return had - {key for key, state in rows if state in LOCKS}


def note_on_running(find: Find, *, by: User, at: datetime, words: str) -> None:
    """Write a line on every running case of `find`. Inside a transaction."""
    for case in Case.objects.filter(finds=find, state__in=LOCKS):
        event(case, "note", by=by, at=at, words=words)


OWN_WAY = {
    CaseState.NO_DUTY: noop(
        "“No duty” needs two of the committee: propose it with your reasons, and another signs second."
    ),
    CaseState.REPORTED: noop("Record the report with its day and to whom it was made."),
    CaseState.DECIDED: noop("Record the decision with its day and their words."),
}
"""Moves that are not made with a word alone, and what to do instead."""


@transaction.atomic
def move_case(case_id: int, to: CaseState, *, by: User, at: datetime, words: str) -> Case:
    """Take a case to the next state with the reason in words.

    Raises IllegalMoveError, or CaseError for moves that have a way of their own and for closing a decided case whose
    objects are not where the decision sends them.
    """
    require(by, Right.REVIEW_CASES)
    if to in OWN_WAY:
        raise CaseError(_(OWN_WAY[to]))
    case = hold_case(case_id)
    if to is CaseState.CLOSED and case.state == CaseState.DECIDED:
        away = not_where_it_should_be([case])
        if away:
            raise CaseError(
                _("Not every object is where the decision sends it. %(away)s")
                % {"away": " ".join(a.words for a in away)}
            )
    return step(case, to, by=by, at=at, verb="moved", words=words)


@transaction.atomic
def case_acknowledged(case_id: int, *, by: User, at: datetime, on: date, reference: str, words: str) -> Case:
    """Record that the authority confirmed the report: the day, and their reference where they gave one."""
    require(by, Right.REVIEW_CASES)
    case = hold_case(case_id)
    _check_day(case, on, at=at, first=case.reported_on, what="reported")
    case.acknowledged_on = on
    case.report_reference = reference or case.report_reference
    case.save(update_fields=["acknowledged_on", "report_reference"])
    with speaking(""):
        day = f"{date_format(on, 'j M Y')}."
        given = _("Reference %(reference)s.") % {"reference": reference} if reference else ""
    said = " ".join(part for part in (day, given, words) if part)
    return step(case, CaseState.ACKNOWLEDGED, by=by, at=at, verb="acknowledged", words=said)


@transaction.atomic
def case_reported(
    case_id: int,
    *,
    by: User,
    at: datetime,
    on: date,
    reference: str,
    words: str,
    how: str = How.OTHER,
    to: str = "",
    evidence: Evidence | None = None,
    client_id: UUID | None = None,
) -> Case:
    """Record that the authority was told: by one of the committee alone, or by the finder who reported directly.

    The day counts, so each report is kept with how, to whom, their reference and a copy if there is one. A further
    report of the same case is kept beside the first and moves nothing; the earliest day stands.
    """
    case = hold_case(case_id)
    if not by.holds(Right.REVIEW_CASES) and not is_finder(case, by):
        raise PermissionDenied(_("Only the committee and the finder record a report to the authority."))
    key = client_id or uuid4()
    if CaseReport.objects.filter(client_id=key).exists():
        return case
    _check_day(case, on, at=at)
    row = CaseReport(
        case=case, on=on, how=how, to=to or case.authority or _the_authority(), reference=reference, words=words,
        at=at, by=by, client_id=key,
    )  # fmt: skip
    _keep_copy(row, evidence)
    return _told(case, row, by=by, at=at)


@speaking("")
def _the_authority() -> str:
    return _("The authority")


def _keep_copy(row: CaseReport, evidence: Evidence | None) -> None:
    if evidence is not None:
        evidence = replace(evidence, store_name=private_name("told", evidence.store_name.rsplit(".", 1)[-1]))
        row.file_name = evidence.name
        row.file.save(evidence.store_name, evidence.content, save=False)
    row.save()


def _told(case: Case, row: CaseReport, *, by: User, at: datetime) -> Case:
    again = case.reported_on is not None and case.state in LOCKS - CLOCK_RUNS
    case.reported_on = min(day for day in (case.reported_on if again else None, row.on) if day)
    case.report_reference = row.reference or case.report_reference
    case.save(update_fields=["reported_on", "report_reference"])
    with speaking(""):
        told = _("%(row_on)s, %(how)s, to %(row_to)s.") % {
            "row_on": date_format(row.on, "j M Y"),
            "how": row.get_how_display().lower(),
            "row_to": row.to,
        }
    said = " ".join(part for part in (told, row.words) if part)
    if again:
        event(case, "reported again", by=by, at=at, words=said)
        audit.record("case.reported", case, by=by, at=at)
        return case
    return step(case, CaseState.REPORTED, by=by, at=at, verb="reported", words=said)


def _check_day(case: Case, on: date, *, at: datetime, first: date | None = None, what: str = "found") -> None:
    """A day that has come, and not before it could be. Raises CaseError naming it."""
    if on > localdate(at):
        raise CaseError(
            _("%(on)s has not come yet; give the day on which it was.") % {"on": date_format(on, "j M Y")}
        )
    found = case.finds.order_by("found_at").values_list("found_at", flat=True).first()
    start = first or (localdate(found) if found else None)
    if start is not None and on < start:
        raise CaseError(
            _("%(on)s is before %(start)s, when it was %(what)s; give the day on which it was.")
            % {"on": date_format(on, "j M Y"), "start": date_format(start, "j M Y"), "what": what}
        )


@transaction.atomic
def add_note(case: Case, *, by: User, at: datetime, words: str) -> CaseEvent:
    """Add a note of the committee to the case's history. The finder does not read it; messages are for that."""
    require(by, Right.REVIEW_CASES)
    audit.record("case.note", case, by=by, at=at)
    return event(case, "note", by=by, at=at, words=words)
