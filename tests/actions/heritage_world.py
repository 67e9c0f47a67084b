"""A heritage case as tests about reports need it: issued with its real PDF and package."""

import json
from io import BytesIO
from typing import Any
from zipfile import ZipFile

from django.utils.timezone import now

from people.models import User
from reports.actions import issue_report
from reports.drafts import draft_for_case, photos_of
from reports.models import IssuedReport, Kind
from reports.package import write_package
from reports.pdf import render_pdf


def packed(case: Any, by: User) -> bytes:
    """The package of the case as it would be issued now."""
    draft = draft_for_case(case, by=by, at=now())
    assert draft.case_facts is not None
    pdf = render_pdf(draft.report, photos_of(draft.report))
    with write_package(draft.report, draft.case_facts, pdf) as package:
        return package.stream.read()


def issued(case: Any, by: User) -> IssuedReport:
    """Issue the case's report with its PDF and its package."""
    draft = draft_for_case(case, by=by, at=now())
    assert draft.case_facts is not None
    pdf = render_pdf(draft.report, photos_of(draft.report))
    with write_package(draft.report, draft.case_facts, pdf) as package:
        return issue_report(Kind.HERITAGE, draft, pdf, by=by, at=now(), case=case, package=package)


def files_in(data: bytes) -> dict[str, bytes]:
    with ZipFile(BytesIO(data)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def manifest_of(data: bytes) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(files_in(data)["manifest.json"])
    return found
