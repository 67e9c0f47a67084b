"""Sections of Today about cases: late stages, second signatures, tasks, messages, and what has to come home."""

from collections.abc import Iterable
from datetime import datetime

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from finds.case_course import WAITING, CaseLook, looks_of
from finds.case_home import not_where_it_should_be
from finds.models import Case, CaseMessage, CaseTask, CaseVote
from finds.states import CaseState
from people.models import User
from people.rights import Right
from reports.today_sections import SHOWN, Found, Item, days_left, first_of, status_of

SOON_DAYS = 7


def _page(case: Case) -> str:
    return reverse("finds:case_detail", args=[case.pk])


def late_stages(user: User, at: datetime) -> Found:
    """Official limits of a running procedure that have passed, or do within a week, for the committee."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    today = localdate(at)
    cases = list(Case.objects.visible_to(user).filter(state__in=WAITING))
    near = [look for look in looks_of(cases) if look.due is not None and (look.due - today).days <= SOON_DAYS]
    near.sort(key=lambda look: (look.due or today, look.case.pk))

    def item(look: CaseLook) -> Item:
        words = f"{look.due_words}: {days_left(look.due, today)}"
        return Item(
            status_of(look.due, today),
            _("Case %(case_number)s") % {"case_number": look.case.number},
            words,
            _page(look.case),
            look.due,
        )

    return Found([item(look) for look in near[:SHOWN]], len(near))


def second_signatures(user: User, at: datetime) -> Found:
    """“No duty” that somebody else proposed and this reader may sign second."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    rows = CaseVote.objects.filter(says=CaseVote.Says.PROPOSES, answers=None, case__state=CaseState.REVIEW)
    rows = rows.exclude(by=user).exclude(case__finds__finder=user).exclude(case__finds__hunt__leader=user)

    def item(row: CaseVote) -> Item:
        words = _("“no duty” proposed by %(row_by)s, %(row_at)s; a second person has to look") % {
            "row_by": row.by,
            "row_at": date_format(localtime(row.at), "j M Y"),
        }
        return Item(
            "soon", _("Case %(case_number)s") % {"case_number": row.case.number}, words, _page(row.case)
        )

    return first_of(rows.select_related("case", "by").order_by("at", "pk"), item)


def tasks(user: User, at: datetime) -> Found:
    """What this reader has to do about cases, the first due first."""
    today = localdate(at)

    def item(row: CaseTask) -> Item:
        by = f", {days_left(row.due_on, today)}" if row.due_on else ""
        return Item(
            status_of(row.due_on, today),
            _("Case %(case_number)s") % {"case_number": row.case.number},
            f"{row.what}{by}",
            _page(row.case),
            row.due_on,
        )  # fmt: skip

    rows = CaseTask.objects.visible_to(user).open().filter(whose=user)
    return first_of(rows.select_related("case"), item)


def messages(user: User, at: datetime) -> Found:
    """Messages about cases that ask this reader for an answer."""
    reviews = user.holds(Right.REVIEW_CASES)
    rows = [
        row
        for row in CaseMessage.objects.visible_to(user).unanswered().select_related("case", "by", "finder")
        if (row.from_finder and reviews and row.finder_id != user.pk)
        or (not row.from_finder and row.finder_id == user.pk)
    ]

    items = [
        Item(
            "soon",
            _("Case %(case_number)s") % {"case_number": row.case.number},
            _("%(by_name)s asks for an answer, %(row_at)s")
            % {"by_name": row.by.name, "row_at": date_format(localtime(row.at), "j M Y")},
            _page(row.case),
        )
        for row in rows[:SHOWN]
    ]
    return Found(items, len(rows))


def way_home(user: User, at: datetime) -> Found:
    """Objects of decided cases that custody does not show where the decision sends them."""
    if not user.holds(Right.REVIEW_CASES):
        return Found()
    cases: Iterable[Case] = Case.objects.visible_to(user).filter(state=CaseState.DECIDED)
    away = not_where_it_should_be(cases)
    items = [
        Item("soon", _("Case %(case_number)s") % {"case_number": row.case.number}, row.words, _page(row.case))
        for row in away[:SHOWN]
    ]
    return Found(items, len(away))
