"""Everything the page of one case shows."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from itertools import islice
from typing import Any

from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.case_board import left_words, place_name
from finds.case_course import looks_of
from finds.case_forms import case_forms
from finds.case_home import not_where_it_should_be
from finds.case_no_duty import no_duty_context
from finds.case_words import WHAT_NOW, Facts, progress
from finds.incident_page import stops_of_finds
from finds.models import (
    Case,
    CaseEvent,
    CaseMessage,
    CaseOutcome,
    CaseTask,
    Find,
    FindspotView,
    RewardShare,
    ScreeningRecord,
)
from finds.points import all_shown_to
from finds.screening_page import HistoryRow, history
from finds.screens import latest_records, shown
from finds.sheets import sum_in_words
from finds.states import CLOCK_RUNS, CaseState
from hunts.drills import emergency_of
from law.retold import retold
from people.models import Contact, User
from people.rights import Right
from tongue import noop

WITH_HISTORY = (
    10  # finds whose screenings are told on the page itself; of a larger hoard each has a page of its own
)
SCREENINGS = 5
PHOTOS = 6
VIEWS = 20
# What a case's history says of each line.
VERBS = (
    noop("opened"), noop("opened again"), noop("moved"), noop("acknowledged"), noop("reported"), noop("reported again"),
    noop("decided"), noop("decision corrected"), noop("note"), noop("message"), noop("due date changed"),
    noop("no duty proposed"), noop("no duty agreed"), noop("no duty not agreed"), noop("no duty taken back"),
    noop("signature lapsed"), noop("task"), noop("task done"), noop("stage reached"), noop("stage taken back"),
)  # fmt: skip
# What the committee writes for itself. Its finder and the hunt's leader read the rest.
INSIDE = (
    "note", "no duty proposed", "no duty not agreed", "no duty taken back", "signature lapsed", "task done"
)  # fmt: skip


def case_context(
    case: Case, user: User, *, at: datetime, bound: dict[str, Any] | None = None
) -> dict[str, Any]:
    """The case as `user` may see it. `bound` are forms that were sent and not taken, by name."""
    finds = list(case.finds.with_history().order_by("found_at", "pk"))
    look, away, today = looks_of([case])[0], not_where_it_should_be([case]), localdate(at)
    may_review = user.holds(Right.REVIEW_CASES)
    state = CaseState(case.state)
    return {
        "case": case,
        "items": _items(finds, user, at=at),
        "look": look,
        "places": [place_name(code) for code in look.places],
        "left": left_words(look.due, today) if look.due or look.clock_runs else "",
        "late": look.is_late(today),
        "away": away,
        "steps": progress(_facts(case, len(away)), today),
        "what_now": _(WHAT_NOW[state]),
        "events": _events(case, may_review),
        "threads": _threads(case, user),
        "tasks": CaseTask.objects.visible_to(user).filter(case=case).select_related("whose", "done_by"),
        "tellings": case.tellings.select_related("by"),
        "outcomes": _outcomes(case, user),
        "may_review": may_review,
        "may_issue": user.holds(Right.ISSUE_HERITAGE_REPORTS),
        "contacts": Contact.objects.filter(jurisdiction__in=look.places),
        "emergency": emergency_of(look.places),
        "may_enter": user.holds(Right.MANAGE_CLUB),
        "stops": stops_of_finds(finds, user),
        "views": _views(finds) if may_review else [],
        "today": today,
        "clock_runs": state in CLOCK_RUNS,
        **no_duty_context(case, user, today),
        **case_forms(case, user, look, finds, today=today),
        **(bound or {}),
    }


def _items(finds: Sequence[Find], user: User, *, at: datetime) -> list[dict[str, Any]]:
    points = all_shown_to(finds, user, at=at, where="case page")
    records, past = latest_records(finds), _histories(finds)
    return [
        {
            "find": find,
            "point": points[find.pk],
            "screening": shown(records[find.pk]) if find.pk in records else None,
            "history": past.get(find.pk, []),
            "holder": max(find.custody.all(), key=lambda entry: entry.step, default=None),
            "photos": list(islice(find.photos.all(), PHOTOS)),
        }
        for find in finds
    ]


def _histories(finds: Sequence[Find]) -> dict[int, list[HistoryRow]]:
    """The latest screenings of the first few finds, each with what had changed since the one before."""
    rows: dict[int, list[ScreeningRecord]] = defaultdict(list)
    records = ScreeningRecord.objects.filter(find__in=[find.pk for find in finds[:WITH_HISTORY]])
    for record in records.order_by("find", "-at", "-pk"):
        if len(rows[record.find_id]) <= SCREENINGS:
            rows[record.find_id].append(record)
    return {find: history(kept)[:SCREENINGS] for find, kept in rows.items()}


def _facts(case: Case, away: int) -> Facts:
    return Facts(
        state=CaseState(case.state),
        opened=localdate(case.opened_at),
        due=case.due_on,
        due_words=retold(case.due_words),
        authority=retold(case.authority),
        reported=case.reported_on,
        reference=case.report_reference,
        acknowledged=case.acknowledged_on,
        decided=case.decided_on,
        decision=case.get_decision_display(),
        away=away,
    )


def _events(case: Case, may_review: bool) -> Sequence[CaseEvent]:
    rows = case.events.select_related("by")
    return list(rows if may_review else rows.exclude(verb__in=INSIDE))


def _threads(case: Case, user: User) -> list[dict[str, Any]]:
    """Messages by finder, each thread in the order of writing."""
    threads: dict[int, dict[str, Any]] = {}
    rows = CaseMessage.objects.visible_to(user).filter(case=case).select_related("by", "finder")
    for row in rows.order_by("pk"):
        thread = threads.setdefault(row.finder_id, {"finder": row.finder, "messages": []})
        thread["messages"].append(row)
    return list(threads.values())


def _outcomes(case: Case, user: User) -> list[dict[str, Any]]:
    """What was decided, the last row first. Others than the committee read parties of a reward without names."""
    named = user.holds(Right.REVIEW_CASES)
    rows = CaseOutcome.objects.filter(case=case).prefetch_related("shares").order_by("-pk")
    return [
        {
            "outcome": row,
            "reward": sum_in_words(row.reward, row.currency) if row.reward else "",
            "shares": [_share(share, row.currency, named=named) for share in row.shares.all()],
        }
        for row in rows
    ]


def _share(share: RewardShare, currency: str, *, named: bool) -> dict[str, Any]:
    amount = sum_in_words(share.amount, currency)
    return {"share": share, "name": share.name if named else "", "amount": amount}


def _views(finds: Sequence[Find]) -> Sequence[FindspotView]:
    rows = FindspotView.objects.filter(find__in=finds).select_related("by", "find")
    return list(rows[:VIEWS])
