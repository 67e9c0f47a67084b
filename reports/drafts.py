"""A report as it would be issued now, for a page to show or an action to freeze."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models.fields.files import FieldFile
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.models import Case, ConditionPhoto, Find, FindPhoto
from hunts.models import HolePhoto, Hunt
from hunts.models.hole import PhotoModel
from law.retold import retold
from people.languages import speaking
from people.models import User
from permissions.models import Landholder
from reports.blocks import Report, photo_keys
from reports.build import holes_report, parties_of, returns_report, visit_report
from reports.build.heritage import heritage_report
from reports.build.heritage_case import CaseFacts, gather
from reports.build.returns_of import Scope, returns_of
from reports.models import IssuedReport, Kind

FOR_LANDHOLDERS = {Kind.VISIT: visit_report, Kind.HOLES: holes_report, Kind.RETURNS: returns_report}
LETTERS = {Kind.VISIT: "V", Kind.HOLES: "H", Kind.RETURNS: "R", Kind.HERITAGE: "A"}


@dataclass(frozen=True, slots=True)
class Draft:
    """A report with its place in the row of issues."""

    report: Report
    issue: int
    recipient: str
    case_facts: CaseFacts | None = None  # of a heritage report: what its data package is made from


def landholders_of(hunt: Hunt) -> list[Landholder]:
    """Owners, occupiers and agents of the hunt's sites on its day."""
    found = {party.landholder_id: party.landholder for party in parties_of(hunt).select_related("landholder")}
    return sorted(found.values(), key=lambda landholder: landholder.name)


def draft_for_hunt(kind: Kind, hunt: Hunt, landholder: Landholder | None, *, on: date) -> Draft:
    """The next visit, holes or returns report of `hunt` for `landholder`."""
    earlier = IssuedReport.objects.filter(kind=kind, hunt=hunt, landholder=landholder)
    issue = earlier.count() + 1
    suffix = f"L{landholder.pk}-" if landholder else ""
    number = f"{LETTERS[kind]}-{hunt.code}-{suffix}{issue}"
    with speaking(landholder.language if landholder else ""):
        report = FOR_LANDHOLDERS[kind](hunt, landholder, number=number, on=on)
    return Draft(report, issue, landholder.name if landholder else _("All landholders"))


def draft_for_returns(scope: Scope, finds: Sequence[Find], going: Collection[int], *, on: date) -> Draft:
    """The next returns statement of one landholder over a time; those with keys in `going` go back now."""
    earlier = IssuedReport.objects.filter(kind=Kind.RETURNS, landholder=scope.landholder, hunt=None)
    issue = earlier.count() + 1
    number = f"{LETTERS[Kind.RETURNS]}-L{scope.landholder.pk}-{issue}"
    with speaking(scope.landholder.language):
        report = returns_of(scope, finds, going, number=number, on=on)
    return Draft(report, issue, scope.landholder.name)


def draft_for_case(case: Case, *, by: User, at: datetime) -> Draft:
    """The next heritage report of `case`. Building it counts as a look at each locked findspot."""
    issue = IssuedReport.objects.filter(kind=Kind.HERITAGE, case=case).count() + 1
    number = f"{LETTERS[Kind.HERITAGE]}-{case.number}-{issue}"
    with speaking(""):
        facts = gather(case, by=by, at=at)
        report = heritage_report(facts, number=number, on=localdate(at))
    return Draft(report, issue, retold(case.authority) or _("The authority"), facts)


def photos_of(report: Report) -> dict[str, bytes]:
    """The photographs that the report names, small for many and large for few, by their key.

    One whose file is lost is left out: its words stand in the report in its place.
    """
    keys = photo_keys(report)
    found: dict[str, bytes] = {}
    for key, row in _photo_rows(keys).items():
        try:
            with getattr(row, _size(keys)).open("rb") as file:
                found[key] = file.read()
        except FileNotFoundError:
            continue
    return found


def photo_in(report: Report, key: str) -> FieldFile | None:
    """One photograph of the report, or None where it does not stand in it or is no longer there."""
    keys = photo_keys(report)
    row = _photo_rows(keys & {key}).get(key)
    return getattr(row, _size(keys)) if row is not None else None


def _size(keys: frozenset[str]) -> str:
    return "display" if len(keys) <= 12 else "thumb"


def _photo_rows(keys: frozenset[str]) -> dict[str, PhotoModel]:
    kinds: dict[str, type[PhotoModel]] = {"find": FindPhoto, "hole": HolePhoto, "condition": ConditionPhoto}
    found: dict[str, PhotoModel] = {}
    for prefix, model in kinds.items():
        wanted = [int(key.split("-")[1]) for key in keys if key.startswith(f"{prefix}-")]
        rows = model._default_manager.filter(pk__in=wanted)
        found |= {f"{prefix}-{row.pk}": row for row in rows}
    return found
