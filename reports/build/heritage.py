"""The heritage report: what an officer can use the same day, with the full findspot."""

from datetime import date, datetime

from django.utils.timezone import localtime

from finds.models import Case, Find, ScreeningRecord
from finds.points import all_shown_to
from finds.record_page import associated_words, described
from finds.screens import latest_records, shown
from hunts.models import Attendance, Hunt
from people.models import Club, User
from people.sensitivity import ShownPoint
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

CAUTION = (
    "This report sets down what was found, where and how, and which clauses of the law may ask for a report. "
    "It does not say what an object is; that is for the authority."
)
METHODS = {
    "device": "phone or receiver",
    "averaged": "averaged fixes",
    "typed": "typed reference",
    "map": "tap on a map",
    "photo": "photograph",
}


def heritage_report(case: Case, *, by: User, at: datetime, number: str, on: date) -> Report:
    """Return the report of `case` with full findspots; each look at a locked one is recorded for `by`."""
    finds = list(case.finds.with_history().order_by("found_at", "pk"))
    points = all_shown_to(finds, by, at=at, where="heritage report")
    records = latest_records(finds)
    associated = associated_words(finds)
    blocks: list[Block] = [Notice(NoticeKind.CAUTION, CAUTION, "What this report says")]
    for find in finds:
        blocks += _object(find, points[find.pk], records.get(find.pk), associated[find.pk])
    blocks += _effort({find.hunt for find in finds})
    club = Club.objects.filter(pk=1).first() or Club(name="The club")
    return Report(
        kind="heritage",
        number=number,
        title="Heritage report",
        subtitle=f"Case {case.number}: {len(finds)} object{'s' if len(finds) != 1 else ''}",
        club=club.name,
        issued_on=on,
        facts=_facts(case, club),
        blocks=tuple(blocks),
    )


def _facts(case: Case, club: Club) -> tuple[Fact, ...]:
    due = f"{case.due_on:%-d %B %Y}" if case.due_on else case.due_words
    return (
        Fact("To", case.authority or "The authority"),
        Fact("Case opened", clock_time(case.opened_at)),
        Fact("Last day to report", due or "–"),
        Fact("Reported by", club.name),
        Fact("Address", club.address or "–"),
    )


def _object(
    find: Find, point: ShownPoint | None, record: ScreeningRecord | None, associated: str
) -> list[Block]:
    blocks: list[Block] = [
        Heading(f"{find.number}: {find.object_type}"),
        FactList(tuple(Fact(label, value) for label, value in _findspot(find, point) if value)),
        FactList(tuple(Fact(label, value) for label, value in _record(find, associated) if value)),
    ]
    if find.description:
        blocks.append(Paragraph(find.description))
    photos = tuple(_photo(find, photo) for photo in find.photos.all())
    if photos:
        blocks.append(PhotoGrid(photos, columns=2))
    return [*blocks, *_law(record), _custody(find)]


def _photo(find: Find, photo: object) -> Photo:
    view = photo.shows  # type: ignore[attr-defined]
    return Photo(f"find-{photo.pk}", f"{find.object_type}, {view}", f"{find.number}, {view}")  # type: ignore[attr-defined]


def _findspot(find: Find, point: ShownPoint | None) -> list[tuple[str, str]]:
    day = localtime(find.found_at).date()
    place = {
        "inside": "inside the boundary",
        "outside": "OUTSIDE the boundary",
        "uncertain": "near the boundary",
    }
    owners = [party for party in find.site.parties.all() if party.has_say_on(day)]
    return [
        ("Findspot", point.label if point else "not recorded"),
        ("Latitude, longitude", f"{point.lat:.6f}, {point.lon:.6f} (WGS 84)" if point else ""),
        ("Fixed by", METHODS.get(find.position_method, "")),
        ("Accuracy", f"±{find.accuracy_m:.0f} m (95 %)" if find.accuracy_m else "not stated"),
        ("As entered", find.position_text),
        ("Site", f"{find.site.name}, {find.site.parish}" if find.site.parish else find.site.name),
        ("Against the boundary", place.get(find.placing, "")),
        (
            "Land",
            "; ".join(f"{row.landholder.name} ({row.get_capacity_display().lower()})" for row in owners),
        ),
        ("Found", f"{long_day(day)}, {localtime(find.found_at):%H:%M}"),
        (
            "Finder",
            f"{find.finder.name}, {find.finder.email}{', ' + find.finder.phone if find.finder.phone else ''}",
        ),
        ("Circumstances", f"{find.hunt.title}, an organised search led by {find.hunt.leader.name}"),
        ("Depth", f"{find.depth_cm} cm" if find.depth_cm else ""),
        ("Ground", find.hole.get_ground_display() if find.hole else ""),
        ("Context", find.context),
        ("Land use", find.land_use),
    ]


def _record(find: Find, associated: str) -> list[tuple[str, str]]:
    lines = [(said.label, said.in_full) for said in described(find) if said.label != "Object"]
    group = f"grouped: {find.group.reasons}" if find.group else ""
    return [*_term(find), *lines, ("Same find", group), ("Associated finds", associated)]


def _term(find: Find) -> list[tuple[str, str]]:
    """The object's term; without one the heading says it all."""
    return [("Object", f"{find.object_scheme}, {find.object_uri}")] if find.object_uri else []


def _law(record: ScreeningRecord | None) -> list[Block]:
    if record is None:
        return []
    screening = shown(record).screening
    rows = tuple((duty.clause, duty.title, " ".join(duty.why), duty.due.words) for duty in screening.duties)
    if not rows:
        return []
    columns = (Column("Clause"), Column("What"), Column("Why it may apply"), Column("When"))
    note = f"Compared with the pack {record.pack_code}, version {record.pack_version}, on {clock_time(record.at)}."
    return [Table("What the law may ask", columns, rows, note)]


def _custody(find: Find) -> Table:
    rows = tuple(
        (clock_time(entry.at), entry.from_name or "–", entry.to_name, entry.purpose)
        for entry in sorted(find.custody.all(), key=lambda entry: entry.step)
    )
    return Table("Custody", (Column("When"), Column("From"), Column("To"), Column("Purpose")), rows)


def _effort(hunts: set[Hunt]) -> list[Block]:
    """What was searched and how hard, also where nothing was found."""
    rows = []
    for hunt in sorted(hunts, key=lambda hunt: hunt.pk):
        people = Attendance.objects.filter(sign_up__hunt=hunt)
        hours = sum(
            (r.signed_out_at - r.signed_in_at).total_seconds() / 3600 for r in people if r.signed_out_at
        )
        area = sum(site.area_m2 for site in hunt.sites.all()) / 10_000
        rows.append(
            (
                f"{hunt.on:%-d %b %Y}",
                hunt.code,
                str(people.count()),
                f"{hours:.1f}",
                f"{area:.1f}",
                str(hunt.holes.count()),
                str(hunt.finds.count()),
            )
        )
    columns = (
        Column("Day"),
        Column("Hunt"),
        *(Column(x, numeric=True) for x in ("People", "Hours in all", "Hectares", "Holes", "Finds")),
    )
    return [Heading("The search"), Table("Effort of the search, blanks included", columns, tuple(rows))]
