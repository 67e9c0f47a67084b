"""What the committee's pages about heritage reports show: the draft, what it lacks, issues, and their differences."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from finds.models import Case
from people.models import Contact, User
from reports.actions import report_seen
from reports.content import from_data
from reports.differences import Section, What, differences
from reports.drafts import draft_for_case
from reports.heritage_asks import missing
from reports.models import IssuedReport, Kind
from reports.photos import club_photo_urls

DRAFT = "draft"


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two issues side by side, or the last issue and what would be issued now."""

    before: str
    after: str
    sections: list[Section]

    @property
    def counts(self) -> str:
        """'2 added, 1 changed'; says so where nothing differs."""
        changes = [change.what for section in self.sections for change in section.changes]
        said = [f"{changes.count(what)} {what.lower()}" for what in What if what in changes]
        return ", ".join(said) or _("The two say the same.")


def issues_of(case: Case, user: User) -> list[IssuedReport]:
    """The case's issued reports, the latest first."""
    rows = IssuedReport.objects.visible_to(user).filter(case=case, kind=Kind.HERITAGE)
    return list(rows.select_related("case", "package").order_by("-issue"))


def preview_context(case: Case, user: User, *, at: datetime) -> dict[str, Any]:
    """The report as it would be issued now, and what the officer will ask for that it does not say."""
    draft = draft_for_case(case, by=user, at=at)
    issues = issues_of(case, user)
    return {
        "report": draft.report,
        "photo_urls": club_photo_urls(draft.report),
        "case": case,
        "kind": "heritage",
        "issued": issues,
        "missing": missing(draft.case_facts) if draft.case_facts else [],
    }


def comparison(case: Case, user: User, *, before: str, after: str, at: datetime) -> Comparison | None:
    """Compare two issues, or one with the draft; None where one is not of this case. Each look is recorded."""
    issues = {str(row.pk): row for row in issues_of(case, user)}
    old, new = issues.get(before), issues.get(after)
    if old is None or (new is None and after != DRAFT):
        return None
    report_seen(old, by=user, at=at, where="differences of reports")
    if new is None:
        later, name = draft_for_case(case, by=user, at=at).report, _("the present draft")
    else:
        later, name = from_data(new.content), new.number
    return Comparison(old.number, name, differences(from_data(old.content), later))


def choices_of(case: Case, user: User) -> list[tuple[str, str]]:
    """What can be compared, the latest first: the draft, then each issue."""
    return [(DRAFT, _("Present draft")), *((str(row.pk), row.number) for row in issues_of(case, user))]


def contacts_for(case: Case) -> list[Contact]:
    """The club's contacts for the places of the case: who a report may go to."""
    places = set(case.finds.values_list("site__jurisdiction", flat=True))
    return list(Contact.objects.filter(jurisdiction__in=places))


def issued_context(row: IssuedReport) -> dict[str, Any]:
    """What stands beside an issued heritage report: its package, sendings and answers."""
    if row.kind != Kind.HERITAGE or row.case is None:
        return {}
    sendings = row.sendings.select_related("by", "acknowledgement__by")
    return {"sendings": sendings, "package": getattr(row, "package", None), "case": row.case}
