"""The heritage report: what an officer can use the same day, with the full findspot."""

from datetime import date

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.record_page import described
from law.retold import all_retold, retold
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
from reports.build.heritage_case import CaseFacts, ObjectFacts
from reports.build.heritage_effort import effort_blocks
from tongue import noop

CAUTION = noop(
    "This report sets down what was found, where and how, and which clauses of the law may ask for a report. "
    "It does not say what an object is; that is for the authority. It gives exact findspots: please keep it safe."
)
PLACING = {
    "inside": noop("inside the boundary"),
    "outside": noop("OUTSIDE the boundary"),
    "uncertain": noop("near the boundary"),
}
MANY_PHOTOS = 12


def heritage_report(facts: CaseFacts, *, number: str, on: date) -> Report:
    """Return what is known of the case as a report, dated `on`."""
    blocks: list[Block] = [Notice(NoticeKind.CAUTION, _(CAUTION), _("What this report says"))]
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
        title=_("Heritage report"),
        subtitle=_n(
            "Case %(case_number)s: %(count)s object", "Case %(case_number)s: %(count)s objects", count
        )
        % {"case_number": case.number, "count": count},
        club=facts.club.name,
        issued_on=on,
        facts=_facts(facts),
        blocks=tuple(blocks),
    )


def _facts(facts: CaseFacts) -> tuple[Fact, ...]:
    case, club = facts.case, facts.club
    due = date_format(case.due_on, "j F Y") if case.due_on else retold(case.due_words)
    return (
        Fact(_("To"), retold(case.authority) or _("The authority")),
        Fact(_("Case opened"), clock_time(case.opened_at)),
        Fact(_("Last day to report"), due or "–"),
        Fact(_("Reported by"), club.name),
        Fact(_("Address"), club.address or "–"),
    )


def _overview(facts: CaseFacts) -> Table:
    rows = tuple(
        (each.find.number, each.find.object_type, str(each.find.count), each.where_now or _("not recorded"))
        for each in facts.objects
    )
    columns = (
        Column(_("Number")),
        Column(_("Object")),
        Column(_("How many"), numeric=True),
        Column(_("Where it is now")),
    )
    return Table(_("Objects of this case"), columns, rows)


def _object(each: ObjectFacts, columns: int) -> list[Block]:
    find = each.find
    blocks: list[Block] = [
        Heading(f"{find.number}: {find.object_type}"),
        *_facts_under(_("Where it lay"), _findspot(each)),
        *_facts_under(_("How it was found"), _found(each)),
        *_facts_under(_("The object"), _record(each)),
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
    changed = find.transformation and _("%(find_position_system)s, by %(find_transformation)s") % {
        "find_position_system": find.position_system,
        "find_transformation": find.transformation,
    }
    return [
        (_("Findspot"), point.label if point else _("not recorded")),
        (
            _("Latitude, longitude"),
            _("%(point_lat)s, %(point_lon)s (WGS 84)")
            % {"point_lat": f"{point.lat:.6f}", "point_lon": f"{point.lon:.6f}"}
            if point
            else "",
        ),
        (_("Accuracy"), f"±{find.accuracy_m:.0f} m (95 %)" if find.accuracy_m else _("not stated")),
        (_("Fixed by"), each.fixed_by or _("not stated")),
        (_("As entered"), find.position_text),
        (_("Changed to WGS 84 from"), changed),
        (_("Site"), f"{find.site.name}, {find.site.parish}" if find.site.parish else find.site.name),
        (_("Farm or estate"), find.site.holding),
        (_("Against the boundary"), _(PLACING[find.placing]) if find.placing in PLACING else ""),
        (_("Land"), each.owners or _("owner and occupier not on record")),
    ]


def _found(each: ObjectFacts) -> list[tuple[str, str]]:
    find = each.find
    day = localtime(find.found_at).date()
    return [
        (_("Found"), f"{long_day(day)}, {localtime(find.found_at):%H:%M}"),
        (
            _("Finder"),
            ", ".join(part for part in (find.finder.name, find.finder.email, find.finder.phone) if part),
        ),
        (_("Circumstances"), each.circumstances),
        (
            _("Depth"),
            _("%(find_depth_cm)s cm") % {"find_depth_cm": find.depth_cm}
            if find.depth_cm is not None
            else _("not measured"),
        ),
        (_("Ground"), find.hole.get_ground_display() if find.hole else ""),
        (_("Context"), find.context),
        (_("Land use"), find.land_use or find.site.land_use),
        (_("Other finds nearby"), each.near.words),
        (
            _("Same find"),
            _("grouped: %(group_reasons)s") % {"group_reasons": find.group.reasons} if find.group else "",
        ),
        (_("Associated finds"), each.associated),
        (
            _("Realised that it may have to be reported"),
            date_format(find.realised_on, "j F Y") if find.realised_on else "",
        ),
        (_("Where it is now"), each.where_now or _("not recorded")),
    ]


def _record(each: ObjectFacts) -> list[tuple[str, str]]:
    """What the object is; without a term the heading says it all."""
    bare = "" if each.find.object_uri else _("Object")
    lines = [(said.label, said.in_full) for said in described(each.find) if said.label != bare]
    unsaid = (
        []
        if each.find.identified_by
        else [(_("Identified by"), _("nobody yet beyond the finder's own view"))]
    )
    return [*lines, *unsaid]


def _law(each: ObjectFacts) -> list[Block]:
    if each.screening is None or not each.duties:
        return []
    record = each.screening.record
    duties = all_retold(tuple(each.duties))
    rows = tuple((duty.clause, duty.title, " ".join(duty.why), duty.due.words) for duty in duties)
    columns = (Column(_("Clause")), Column(_("What")), Column(_("Why it may apply")), Column(_("When")))
    # The day is enough: with the minute a comparison that found the same would read as a change of the report.
    note = _("Compared with the rules of law for %(place)s, version %(version)s, on %(day)s.") % {
        "place": record.pack_code,
        "version": record.pack_version,
        "day": long_day(localtime(record.at).date()),
    }
    return [Table(_("What the law may ask"), columns, rows, note)]


def _custody(each: ObjectFacts) -> Table:
    rows = tuple(
        (clock_time(entry.at), entry.from_shown or "–", entry.to_shown, entry.purpose, entry.condition or "–")
        for entry in each.custody
    )
    columns = (
        Column(_("When")),
        Column(_("From")),
        Column(_("To")),
        Column(_("Purpose")),
        Column(_("Condition")),
    )
    return Table(_("Custody"), columns, rows)
