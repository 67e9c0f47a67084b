"""The heritage report: what an officer can use the same day, with the full findspot."""

from datetime import date, datetime

from django.utils.timezone import localtime

from finds.models import Case, Find
from finds.record_page import described
from people.models import User
from reports.blocks import (
    Block,
    Column,
    Fact,
    FactList,
    Heading,
    Notice,
    NoticeKind,
    Paragraph,
    Photo,
    PhotoGrid,
    Report,
    Table,
)
from reports.build.common import clock_time, long_day
from reports.build.heritage_case import CaseFacts, ObjectFacts, gather
from reports.build.heritage_effort import effort_blocks

CAUTION = (
    "This report sets down what was found, where and how, and which clauses of the law may ask for a report. "
    "It does not say what an object is; that is for the authority. It gives exact findspots: please keep it safe."
)
PLACING = {
    "inside": "inside the boundary",
    "outside": "OUTSIDE the boundary",
    "uncertain": "near the boundary",
}
MANY_PHOTOS = 12


def heritage_report(case: Case, *, by: User, at: datetime, number: str, on: date) -> Report:
    """Return the report of `case` with full findspots; each look at a locked one is recorded for `by`."""
    return report_of(gather(case, by=by, at=at), number=number, on=on)


def report_of(facts: CaseFacts, *, number: str, on: date) -> Report:
    """Return what is known of the case as a report, dated `on`."""
    blocks: list[Block] = [Notice(NoticeKind.CAUTION, CAUTION, "What this report says")]
    if len(facts.objects) > 1:
        blocks.append(_overview(facts))
    columns = 2 if sum(len(each.photos) for each in facts.objects) <= MANY_PHOTOS else 4
    for each in facts.objects:
        blocks += _object(each, columns)
    blocks += effort_blocks(facts.efforts, facts.earlier, len(facts.objects))
    case, count = facts.case, len(facts.objects)
    return Report(
        kind="heritage",
        number=number,
        title="Heritage report",
        subtitle=f"Case {case.number}: {count} object{'s' if count != 1 else ''}",
        club=facts.club.name,
        issued_on=on,
        facts=_facts(facts),
        blocks=tuple(blocks),
    )


def _facts(facts: CaseFacts) -> tuple[Fact, ...]:
    case, club = facts.case, facts.club
    due = f"{case.due_on:%-d %B %Y}" if case.due_on else case.due_words
    return (
        Fact("To", case.authority or "The authority"),
        Fact("Case opened", clock_time(case.opened_at)),
        Fact("Last day to report", due or "–"),
        Fact("Reported by", club.name),
        Fact("Address", club.address or "–"),
    )


def _overview(facts: CaseFacts) -> Table:
    rows = tuple(
        (each.find.number, each.find.object_type, str(each.find.count), each.where_now or "not recorded")
        for each in facts.objects
    )
    columns = (
        Column("Number"),
        Column("Object"),
        Column("How many", numeric=True),
        Column("Where it is now"),
    )
    return Table("Objects of this case", columns, rows)


def _object(each: ObjectFacts, columns: int) -> list[Block]:
    find = each.find
    blocks: list[Block] = [
        Heading(f"{find.number}: {find.object_type}"),
        *_facts_under("Where it lay", _findspot(each)),
        *_facts_under("How it was found", _found(each)),
        *_facts_under("The object", _record(each)),
    ]
    if find.description:
        blocks.append(Paragraph(find.description))
    if each.photos:
        blocks.append(PhotoGrid(tuple(_photo(each, n) for n in range(len(each.photos))), columns=columns))
    return [*blocks, *_law(each), _custody(each)]


def _facts_under(title: str, lines: list[tuple[str, str]]) -> list[Block]:
    facts = tuple(Fact(label, value) for label, value in lines if value)
    return [Heading(title, 3), FactList(facts)] if facts else []


def _photo(each: ObjectFacts, index: int) -> Photo:
    photo, number = each.photos[index], each.find.number
    taken = f", {clock_time(photo.taken_at)}" if photo.taken_at else ""
    said = f": {photo.caption}" if photo.caption else ""
    return Photo(
        f"find-{photo.pk}", f"{each.find.object_type}, {photo.shows}", f"{number}, {photo.shows}{said}{taken}"
    )


def _findspot(each: ObjectFacts) -> list[tuple[str, str]]:
    find, point = each.find, each.point
    changed = find.transformation and f"{find.position_system}, by {find.transformation}"
    return [
        ("Findspot", point.label if point else "not recorded"),
        ("Latitude, longitude", f"{point.lat:.6f}, {point.lon:.6f} (WGS 84)" if point else ""),
        ("Accuracy", f"±{find.accuracy_m:.0f} m (95 %)" if find.accuracy_m else "not stated"),
        ("Fixed by", each.fixed_by or "not stated"),
        ("As entered", find.position_text),
        ("Changed to WGS 84 from", changed),
        ("Site", f"{find.site.name}, {find.site.parish}" if find.site.parish else find.site.name),
        ("Farm or estate", find.site.holding),
        ("Against the boundary", PLACING.get(find.placing, "")),
        ("Land", each.owners or "owner and occupier not on record"),
    ]


def _found(each: ObjectFacts) -> list[tuple[str, str]]:
    find = each.find
    day = localtime(find.found_at).date()
    return [
        ("Found", f"{long_day(day)}, {localtime(find.found_at):%H:%M}"),
        (
            "Finder",
            ", ".join(part for part in (find.finder.name, find.finder.email, find.finder.phone) if part),
        ),
        ("Circumstances", each.circumstances),
        ("Depth", f"{find.depth_cm} cm" if find.depth_cm is not None else "not measured"),
        ("Ground", find.hole.get_ground_display() if find.hole else ""),
        ("Context", find.context),
        ("Land use", find.land_use or find.site.land_use),
        ("Other finds nearby", each.near.words),
        ("Same find", f"grouped: {find.group.reasons}" if find.group else ""),
        ("Associated finds", each.associated),
        (
            "Realised that it may have to be reported",
            f"{find.realised_on:%-d %B %Y}" if find.realised_on else "",
        ),
        ("Where it is now", each.where_now or "not recorded"),
    ]


def _record(each: ObjectFacts) -> list[tuple[str, str]]:
    lines = [(said.label, said.in_full) for said in described(each.find) if said.label != "Object"]
    unsaid = [] if each.find.identified_by else [("Identified by", "nobody yet beyond the finder's own view")]
    return [*_term(each.find), *lines, *unsaid]


def _term(find: Find) -> list[tuple[str, str]]:
    """The object's term; without one the heading says it all."""
    return [("Object", f"{find.object_scheme}, {find.object_uri}")] if find.object_uri else []


def _law(each: ObjectFacts) -> list[Block]:
    if each.screening is None or not each.duties:
        return []
    record = each.screening.record
    rows = tuple((duty.clause, duty.title, " ".join(duty.why), duty.due.words) for duty in each.duties)
    columns = (Column("Clause"), Column("What"), Column("Why it may apply"), Column("When"))
    note = f"Compared with the pack {record.pack_code}, version {record.pack_version}, on {clock_time(record.at)}."
    return [Table("What the law may ask", columns, rows, note)]


def _custody(each: ObjectFacts) -> Table:
    rows = tuple(
        (clock_time(entry.at), entry.from_shown or "–", entry.to_shown, entry.purpose, entry.condition or "–")
        for entry in each.custody
    )
    columns = (Column("When"), Column("From"), Column("To"), Column("Purpose"), Column("Condition"))
    return Table("Custody", columns, rows)
