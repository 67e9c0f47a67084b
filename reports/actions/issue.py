"""Issue a report: freeze its content and its PDF with their hashes, recipient and time."""

import hashlib
import json
from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.core.files.base import ContentFile, File
from django.db import IntegrityError, transaction
from django.db.models.fields.files import FieldFile
from django.utils.translation import gettext as _

from finds.actions import see_findspots
from finds.models import Case
from hunts.models import Hunt
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.models import Landholder
from reports.content import digest, to_data
from reports.drafts import Draft
from reports.models import IssuedReport, Kind, ReportPackage
from reports.package import PackageFile
from reports.visit_mail import tell_landholder
from web.files import private_name


class IssuedMeanwhileError(Exception):
    """Somebody else issued this report at the same moment."""


def issue_report(
    kind: Kind,
    draft: Draft,
    pdf: bytes,
    *,
    by: User,
    at: datetime,
    hunt: Hunt | None = None,
    case: Case | None = None,
    landholder: Landholder | None = None,
    year: int | None = None,
    address_of: Callable[[str], str] | None = None,
    package: PackageFile | None = None,
) -> IssuedReport:
    """Freeze `draft` with the `pdf` made from it, and the data `package` of a heritage report.

    A draft that says what the last issue said returns that one.

    `address_of` makes a whole address of a landholder's key: with it the landholder is told by e-mail, if they have
    an address and a private link that works.

    Raises IssuedMeanwhileError when somebody else issued the same report at this moment; PermissionDenied.
    """
    require(by, Right.ISSUE_HERITAGE_REPORTS if kind == Kind.HERITAGE else Right.ISSUE_REPORTS)
    about: dict[str, Any] = {"hunt": hunt, "case": case, "landholder": landholder, "year": year}
    last = IssuedReport.objects.filter(kind=kind, **about).first()
    if last is not None and _says(last.content) == _says(to_data(draft.report)):
        return last
    row = _new_row(kind, draft, pdf, about, by=by, at=at)
    kept = ReportPackage(sha256=package.sha256, size=package.size) if package else None
    try:
        _store(row, pdf, kept, package)
        with transaction.atomic():
            row.save()
            if kept is not None:
                kept.report = row
                kept.save()
            audit.record("report.issue", row, by=by, at=at, kind=kind.value, recipient=draft.recipient)
            if address_of is not None:
                tell_landholder(row, at=at, address_of=address_of)
    except BaseException as error:
        _forget(row.pdf, kept.file if kept else None)
        if isinstance(error, IntegrityError):
            raise IssuedMeanwhileError(_meanwhile(draft)) from error
        raise
    return row


def _meanwhile(draft: Draft) -> str:
    return _(
        "%(report_number)s was issued by somebody else a moment ago; look at it before issuing another."
    ) % {"report_number": draft.report.number}


def _new_row(
    kind: Kind, draft: Draft, pdf: bytes, about: dict[str, Any], *, by: User, at: datetime
) -> IssuedReport:
    """The issue as it will be kept, its files not yet."""
    return IssuedReport(
        kind=kind,
        number=draft.report.number,
        issue=draft.issue,
        content=to_data(draft.report),
        content_sha256=digest(draft.report),
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        issued_at=at,
        issued_by=by,
        recipient=draft.recipient,
        **about,
    )


def _store(row: IssuedReport, pdf: bytes, kept: ReportPackage | None, package: PackageFile | None) -> None:
    """The files in the private store before a row names them; the package part by part."""
    row.pdf.save(private_name("report", "pdf"), ContentFile(pdf), save=False)
    if kept is not None and package is not None:
        kept.file.save(private_name("package", "zip"), File(package.stream), save=False)


def _forget(*files: FieldFile | None) -> None:
    """No row names these files, so nothing may keep them."""
    for file in files:
        if file:
            file.storage.delete(str(file.name))


@transaction.atomic
def report_seen(row: IssuedReport, *, by: User, at: datetime, where: str) -> None:
    """Record a look at the exact place of each find that a heritage report gives and that is locked now."""
    if row.case is not None:
        see_findspots(row.case.finds.filter(locked=True), by=by, at=at, where=where)


def _says(content: dict[str, object]) -> str:
    """What a report says, without its own number and date."""
    return json.dumps({k: v for k, v in content.items() if k not in {"number", "issued_on"}}, sort_keys=True)
