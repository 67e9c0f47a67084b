"""The officer on Today: visits to prepare or to record, reports issued and not sent, and sendings without an answer."""

from datetime import datetime, timedelta

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.states import LOCKS
from people.models import User
from people.rights import Right
from reports.models import IssuedReport, Kind, OfficerVisit, ReportSending
from reports.today_sections import Found, Item, days_left, first_of, status_of

ANSWER_DAYS = 14
"""After so many days without a word it is worth asking whether they have it. The club's habit, no rule of law."""


def visits(user: User, at: datetime) -> Found:
    """Planned visits; one whose day is gone waits to be recorded."""
    if not user.holds(Right.MOVE_CUSTODY):
        return Found()
    today = localdate(at)

    def item(row: OfficerVisit) -> Item:
        words = (
            _("say how it went")
            if row.is_late(today)
            else _("%(days_left)s, print the list") % {"days_left": days_left(row.on, today)}
        )
        return Item(
            status_of(row.on, today),
            _("%(row_number)s to %(row_to_name)s") % {"row_number": row.number, "row_to_name": row.to_name},
            words,
            reverse("reports:officer_visit", args=[row.pk]), row.on,
        )  # fmt: skip

    return first_of(OfficerVisit.objects.visible_to(user).planned(), item)


def not_sent(user: User, at: datetime) -> Found:
    """Heritage reports that were issued for a case that runs and that nobody has recorded as sent."""
    if not user.holds(Right.ISSUE_HERITAGE_REPORTS):
        return Found()

    def item(row: IssuedReport) -> Item:
        words = _("issued %(row_issued_at)s, not recorded as sent") % {
            "row_issued_at": date_format(row.issued_at, "j M Y")
        }
        return Item("soon", row.number, words, reverse("reports:report_send", args=[row.pk]))

    rows = IssuedReport.objects.visible_to(user).filter(
        kind=Kind.HERITAGE, sendings__isnull=True, case__state__in=LOCKS
    )
    # Of several issues of one case only the last is to be sent; an earlier one that went out is answer enough.
    later = IssuedReport.objects.filter(kind=Kind.HERITAGE, sendings__isnull=False).values("case")
    return first_of(rows.exclude(case__in=later).order_by("issued_at", "pk"), item)


def no_answer(user: User, at: datetime) -> Found:
    """Sendings of running cases that nobody has acknowledged for a while."""
    if not user.holds(Right.ISSUE_HERITAGE_REPORTS):
        return Found()
    before = at - timedelta(ANSWER_DAYS)

    def item(row: ReportSending) -> Item:
        words = _("sent %(row_sent_at)s, no answer yet: ask whether they have it") % {
            "row_sent_at": date_format(row.sent_at, "j M Y")
        }
        url = reverse("reports:sending_acknowledge", args=[row.pk])
        return Item(
            "soon",
            _("%(report_number)s to %(row_to_name)s")
            % {"report_number": row.report.number, "row_to_name": row.to_name},
            words,
            url,
        )

    rows = ReportSending.objects.visible_to(user).unanswered().filter(sent_at__lt=before)
    rows = rows.filter(report__case__state__in=LOCKS).select_related("report")
    return first_of(rows.order_by("sent_at", "pk"), item)
