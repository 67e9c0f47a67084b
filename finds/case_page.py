"""Everything the page of one case shows."""

from datetime import datetime
from typing import Any

from django.utils.timezone import localdate

from finds.forms import DecideForm, MoveForm, NoteForm, ReportedForm
from finds.incident_page import stops_of_finds
from finds.models import Case, FindspotView
from finds.points import all_shown_to
from finds.screens import latest_records, shown
from finds.states import CASE_MOVES, CaseState
from hunts.drills import emergency_of
from people.models import Contact, User
from people.rights import Right

# Moves made with their own form stand elsewhere on the page.
BY_OWN_FORM = {CaseState.REPORTED, CaseState.DECIDED}


def case_context(case: Case, user: User, *, at: datetime) -> dict[str, Any]:
    """The case with its finds, findspots, screenings, history, moves and contacts."""
    finds = list(case.finds.with_history().order_by("found_at", "pk"))
    points = all_shown_to(finds, user, at=at, where="case page")
    records = latest_records(finds)
    items = [
        {
            "find": find,
            "point": points[find.pk],
            "screening": shown(records[find.pk]) if find.pk in records else None,
            "holder": max(find.custody.all(), key=lambda entry: entry.step, default=None),
        }
        for find in finds
    ]
    may_review = user.holds(Right.REVIEW_CASES)
    state = CaseState(case.state)
    moves = [to for to in CASE_MOVES[state] if to not in BY_OWN_FORM] if may_review else []
    jurisdictions = {find.site.jurisdiction for find in finds}
    return {
        "case": case,
        "items": items,
        "events": case.events.select_related("by"),
        "moves": [{"to": to, "form": _move_form(to)} for to in sorted(moves)],
        "noteform": NoteForm(auto_id="note-%s"),
        "reportedform": ReportedForm(today=localdate(at), auto_id="reported-%s"),
        "decideform": DecideForm(auto_id="decide-%s"),
        "may_report": CaseState.REPORTED in CASE_MOVES[state],
        "may_decide": may_review and CaseState.DECIDED in CASE_MOVES[state],
        "may_review": may_review,
        "may_issue": user.holds(Right.ISSUE_HERITAGE_REPORTS),
        "contacts": Contact.objects.filter(jurisdiction__in=jurisdictions),
        "emergency": emergency_of(sorted(jurisdictions)),
        "may_enter": user.holds(Right.MANAGE_CLUB),
        "stops": stops_of_finds(finds, user),
        "views": FindspotView.objects.filter(find__in=finds).select_related("by", "find")[:20]
        if may_review
        else [],
        "today": localdate(at),
        "clock_runs": state in {CaseState.FLAGGED, CaseState.REVIEW},
    }


def _move_form(to: CaseState) -> MoveForm:
    """Several forms of the page ask for reasons: each has identifiers of its own, so that labels meet their fields."""
    return MoveForm(initial={"to": to.value}, auto_id=f"{to.name.lower()}-%s")
