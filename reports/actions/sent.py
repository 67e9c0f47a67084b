"""Record that a heritage report was sent, with the hashes of what was sent, and that the authority has it."""

from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions import case_acknowledged, case_reported
from finds.actions.case_steps import event, hold_case
from finds.models.case_parts import How
from finds.states import LOCKS, CaseState
from people import audit
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from reports.models import Acknowledgement, IssuedReport, Kind, ReportSending
from reports.models.sent import Way, What

_HOW = {Way.HAND: How.IN_PERSON, Way.EMAIL: How.EMAIL, Way.POST: How.LETTER}


class SendingError(Exception):
    """This cannot be recorded as sent; the sentence says why and what to do."""


@transaction.atomic
def report_sent(
    report_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    sent_at: datetime,
    to_name: str,
    how: str,
    what: str = What.BOTH,
    to_details: str = "",
    words: str = "",
) -> ReportSending:
    """Record that an issued heritage report was sent, and tell its case so. The same `client_id` twice is one.

    Raises SendingError for a time that has not come or lies before the issue, and for a package that was not made.
    """
    require(by, Right.ISSUE_HERITAGE_REPORTS)
    report = IssuedReport.objects.select_related("case", "package").get(pk=report_id, kind=Kind.HERITAGE)
    assert report.case is not None
    hold_case(report.case.pk)
    there = ReportSending.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    _check_time(report, sent_at, at=at)
    row = ReportSending.objects.create(
        client_id=client_id,
        report=report,
        sent_at=sent_at,
        to_name=to_name,
        to_details=to_details,
        how=how,
        what=what,
        words=words,
        at=at,
        by=by,
        **_hashes(report, what),
    )
    audit.record("report.sent", row, by=by, at=at, label=report.number, how=how, what=what)
    _tell_case(row, by=by, at=at)
    return row


def _check_time(report: IssuedReport, sent_at: datetime, *, at: datetime) -> None:
    if sent_at > at:
        raise SendingError(_("That time has not come yet; give the time at which it was sent."))
    if sent_at < report.issued_at.replace(second=0, microsecond=0):  # a form gives whole minutes
        raise SendingError(
            _(
                "%(report_number)s was issued later than that; give a time after it was issued, or "
                "choose another issue."
            )
            % {"report_number": report.number}
        )


def _hashes(report: IssuedReport, what: str) -> dict[str, str]:
    """The seals of exactly what was sent."""
    package = getattr(report, "package", None)
    if what != What.PDF and package is None:
        raise SendingError(
            _(
                "%(report_number)s was issued without a data package; issue the report again, or say "
                "that it was sent as the report only."
            )
            % {"report_number": report.number}
        )
    return {
        "pdf_sha256": "" if what == What.PACKAGE else report.pdf_sha256,
        "package_sha256": "" if what == What.PDF or package is None else package.sha256,
    }


def _tell_case(row: ReportSending, *, by: User, at: datetime) -> None:
    """A case that runs was reported with this; of an ended one its history keeps that a copy was sent."""
    case = row.report.case
    assert case is not None
    seal = row.pdf_sha256 or row.package_sha256
    with speaking(""):
        what = f"{row.report.number}, {row.get_what_display().lower()}, SHA-256 {seal[:16]}…"
        words = (
            what
            if case.state in LOCKS
            else _("To %(name)s: %(words)s") % {"name": row.to_name, "words": what}
        )
    if case.state not in LOCKS:
        event(case, "report sent", by=by, at=at, words=words)
        return
    how = _HOW.get(Way(row.how), How.OTHER)
    key = uuid5(row.client_id, "told")
    on = localdate(row.sent_at)
    case_reported(
        case.pk, by=by, at=at, on=on, reference="", words=words, how=how, to=row.to_name, client_id=key
    )


@transaction.atomic
def report_acknowledged(
    sending_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    on: date,
    who: str,
    reference: str = "",
    words: str = "",
) -> Acknowledgement:
    """Record that the authority has what was sent; a reported case becomes acknowledged. The first answer stands.

    Raises SendingError for a day that has not come or lies before the sending.
    """
    require(by, Right.ISSUE_HERITAGE_REPORTS)
    sending = ReportSending.objects.select_related("report__case").get(pk=sending_id)
    assert sending.report.case is not None
    case = hold_case(sending.report.case.pk)
    there = Acknowledgement.objects.filter(sending=sending).first()
    if there is not None:
        return there
    _check_answered(sending, on, localdate(at))
    row = Acknowledgement.objects.create(
        client_id=client_id, sending=sending, on=on, who=who, reference=reference, words=words, at=at, by=by
    )
    audit.record("report.acknowledged", row, by=by, at=at, label=sending.report.number)
    with speaking(""):
        said = _("By %(who)s, about %(number)s.") % {"who": who, "number": sending.report.number}
        day = date_format(on, "j M Y")
    said = f"{said} {words}".strip()
    if CaseState(case.state) is CaseState.REPORTED:
        case_acknowledged(case.pk, by=by, at=at, on=on, reference=reference, words=said)
    else:
        event(case, "answer to a report", by=by, at=at, words=f"{day}. {said}")
    return row


def _check_answered(sending: ReportSending, on: date, today: date) -> None:
    """Raise SendingError unless they can have answered on that day."""
    sent_on = localdate(sending.sent_at)
    if not sent_on <= on <= today:
        raise SendingError(
            _(
                "%(on)s cannot be: it was sent on %(sending_sent_at)s and today is %(at)s. Give the day "
                "of their answer."
            )
            % {
                "on": date_format(on, "j M Y"),
                "sending_sent_at": date_format(sent_on, "j M Y"),
                "at": date_format(today, "j M Y"),
            }
        )
