"""A report as it would be issued now, for a page to show or an action to freeze."""

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.timezone import localdate

from finds.models import Case, FindPhoto
from hunts.models import HolePhoto, Hunt
from people.models import User
from permissions.models import Landholder
from permissions.models.site import Capacity
from reports.blocks import Report, photo_keys
from reports.build import heritage_report, holes_report, returns_report, visit_report
from reports.models import IssuedReport, Kind

FOR_LANDHOLDERS = {Kind.VISIT: visit_report, Kind.HOLES: holes_report, Kind.RETURNS: returns_report}
LETTERS = {Kind.VISIT: "V", Kind.HOLES: "H", Kind.RETURNS: "R", Kind.HERITAGE: "A"}


@dataclass(frozen=True, slots=True)
class Draft:
    """A report with its place in the row of issues."""

    report: Report
    issue: int
    recipient: str


def landholders_of(hunt: Hunt) -> list[Landholder]:
    """Owners, occupiers and agents of the hunt's sites on its day."""
    say = [Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT]
    found: dict[int, Landholder] = {}
    for link in hunt.hunt_sites.select_related("site"):
        for party in link.site.parties.on(hunt.on).filter(capacity__in=say).select_related("landholder"):
            found[party.landholder_id] = party.landholder
    return sorted(found.values(), key=lambda landholder: landholder.name)


def draft_for_hunt(kind: Kind, hunt: Hunt, landholder: Landholder | None, *, on: date) -> Draft:
    """The next visit, holes or returns report of `hunt` for `landholder`."""
    earlier = IssuedReport.objects.filter(kind=kind, hunt=hunt, landholder=landholder)
    issue = earlier.count() + 1
    suffix = f"L{landholder.pk}-" if landholder else ""
    number = f"{LETTERS[kind]}-{hunt.code}-{suffix}{issue}"
    report = FOR_LANDHOLDERS[kind](hunt, landholder, number=number, on=on)
    return Draft(report, issue, landholder.name if landholder else "All landholders")


def draft_for_case(case: Case, *, by: User, at: datetime) -> Draft:
    """The next heritage report of `case`. Building it counts as a look at each locked findspot."""
    issue = IssuedReport.objects.filter(kind=Kind.HERITAGE, case=case).count() + 1
    number = f"{LETTERS[Kind.HERITAGE]}-{case.number}-{issue}"
    report = heritage_report(case, by=by, at=at, number=number, on=localdate(at))
    return Draft(report, issue, case.authority or "The authority")


def photos_of(report: Report) -> dict[str, bytes]:
    """The photographs that the report names, small for many and large for few, by their key."""
    keys = photo_keys(report)
    size = "display" if len(keys) <= 12 else "thumb"
    found: dict[str, bytes] = {}
    for prefix, model in (("find", FindPhoto), ("hole", HolePhoto)):
        wanted = [int(key.split("-")[1]) for key in keys if key.startswith(f"{prefix}-")]
        for row in model.objects.filter(pk__in=wanted):
            with getattr(row, size).open("rb") as file:
                found[f"{prefix}-{row.pk}"] = file.read()
    return found
