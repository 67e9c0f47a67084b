"""Returns: a statement issued with the hand-overs that it makes, and what the landholder says of them."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from finds.actions import confirm_hand_over, propose_hand_over
from finds.actions.custody import CustodyError
from finds.models import Find
from finds.models.custody import Holder
from people.languages import speaking
from people.models import User
from people.rights import Right, require
from permissions.models import Landholder
from reports.actions.issue import issue_report
from reports.build.returns import holder_of
from reports.drafts import Draft
from reports.models import IssuedReport, Kind, ReturnsHandOver


@transaction.atomic
def issue_returns(
    landholder: Landholder,
    draft: Draft,
    pdf: bytes,
    finds: Sequence[Find],
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    conditions: Mapping[int, str] | None = None,
) -> IssuedReport:
    """Freeze the statement and propose to hand `finds` over, once for each person who holds some of them.

    Custody moves when the landholder confirms. All or nothing; the same `client_id` twice is one. Raises CustodyError
    for an object under a possible duty or one that waits elsewhere, IssuedMeanwhileError as `issue_report` does.
    """
    require(by, Right.ISSUE_REPORTS)
    require(by, Right.MOVE_CUSTODY)
    if locked := sorted(find.number for find in finds if find.locked):
        raise CustodyError(
            _("%(locked)s may have to be reported, so it does not go back before the case has ended.")
            % {"locked": ", ".join(locked)}
        )
    with speaking(""):
        purpose = _("Returned under %(report_number)s") % {"report_number": draft.report.number}
    rows = [
        propose_hand_over(
            [find.pk for find in group],
            by=by,
            at=at,
            client_id=uuid5(client_id, f"{holder} {name}"),
            to_holder=Holder.LANDHOLDER,
            to_name=landholder.name[:160],
            purpose=purpose[:160],
            conditions=conditions,
            capacity="keeper",
            owner=landholder.name[:160],
        )
        for (holder, name), group in sorted(_by_holder(finds).items())
    ]
    report = issue_report(Kind.RETURNS, draft, pdf, by=by, at=at, landholder=landholder)
    for row in rows:
        ReturnsHandOver.objects.get_or_create(hand_over=row, defaults={"report": report})
    return report


def _by_holder(finds: Sequence[Find]) -> dict[tuple[str, str], list[Find]]:
    held: dict[tuple[str, str], list[Find]] = {}
    for find in finds:
        last = holder_of(find)
        held.setdefault((last.to_holder, last.to_name) if last else ("", ""), []).append(find)
    return held


def returns_answered(
    report: IssuedReport,
    *,
    via: str,
    at: datetime,
    name: str,
    words: str,
    missing: Collection[str],
    disputed: bool,
) -> None:
    """Move what was received and keep the rest as a question. Inside the transaction that keeps the answer.

    A dispute that names no object leaves everything where it is, waiting, until the club has answered.
    """
    if disputed and not missing:
        return
    for link in ReturnsHandOver.objects.filter(report=report):
        items = link.hand_over.items.select_related("find")
        lacks = {item.find_id: words for item in items if item.find.number in missing}
        said: dict[str, Any] = {"name": name, "paper": report.number, "sha256": report.content_sha256}
        confirm_hand_over(link.hand_over_id, via=via, at=at, missing=lacks, **said)


def goes_back(report: IssuedReport) -> list[tuple[str, str]]:
    """Number and words of each object that goes back with the statement, in the order of the numbers."""
    rows = Find.objects.filter(hand_over_items__hand_over__statement__report=report).order_by("number")
    return [(find.number, str(find)) for find in rows.distinct()]
