"""The visit report: one page for the landholder within days, in plain words."""

from collections import Counter
from datetime import date

from finds.models import Find
from hunts.models import Hunt, Incident
from hunts.models.hole import Outcome
from permissions.models import Landholder
from reports.blocks import (
    Block,
    Bullets,
    Column,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    Paragraph,
    PhotoGrid,
    Report,
    Table,
)
from reports.build.common import Ground, find_photos, ground_map, ground_of, head_facts, heads, long_day

FIND_COLUMNS = (
    Column("Number"),
    Column("Object"),
    Column("How many", numeric=True),
    Column("Material"),
    Column("Where it is now"),
    Column("Reporting"),
)


def visit_report(hunt: Hunt, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the visit report of `hunt` for the land where `landholder` has a say, dated `on`."""
    ground = ground_of(hunt, landholder)
    blocks: list[Block] = []
    if hunt.leader_report:
        blocks.append(Paragraph(hunt.leader_report))
    blocks += _holes(ground)
    blocks += _finds(ground)
    if (drawn := ground_map(ground, finds=True)) is not None:
        blocks += [Heading("Where we were"), drawn]
    blocks += _incidents(ground)
    blocks += _next(ground)
    return Report(
        kind="visit",
        number=number,
        title="Visit report",
        subtitle=f"{hunt.title}, {long_day(hunt.on)}",
        club=ground.club.name,
        issued_on=on,
        facts=(*head_facts(ground), Fact("People", heads(ground))),
        blocks=tuple(blocks),
    )


def _holes(ground: Ground) -> list[Block]:
    dug = [hole for hole in ground.holes if hole.state == "dug"]
    total = len(ground.holes)
    if not total:
        return [Heading("Holes"), Paragraph("No hole was dug.")]
    filled = f"{total - len(dug)} of {total} holes are filled"
    checked = sum(hole.state == "checked" for hole in ground.holes)
    blocks: list[Block] = [
        Heading("Holes"),
        Paragraph(f"{filled}; {checked} were looked at again by a steward."),
        Paragraph(_outcomes(ground)),
    ]
    if dug:
        numbers = ", ".join(str(hole.number) for hole in dug)
        blocks.append(
            Notice(
                NoticeKind.OPEN,
                f"Not recorded as filled: {numbers}. We are putting this right.",
                "Still open",
            )
        )
    return blocks


def _outcomes(ground: Ground) -> str:
    """What the holes here came to; scrap is weighed for the hunt as a whole."""
    counts = Counter(hole.outcome for hole in ground.holes)
    parts = [f"{counts[each.value]} {each.label.lower()}" for each in Outcome if counts[each.value]]
    words = f"What came out: {'; '.join(parts)}."
    if ground.hunt.scrap_kg is not None:
        words += f" Scrap taken away from the whole hunt: {ground.hunt.scrap_kg.normalize():f} kg."
    return words


def _finds(ground: Ground) -> list[Block]:
    blocks: list[Block] = [Heading("What was found")]
    if not ground.finds:
        return [
            *blocks,
            Paragraph(
                "Nothing was kept for recording. That is worth knowing too: we keep the day as searched."
            ),
        ]
    rows = tuple(_find_row(find) for find in ground.finds)
    blocks.append(Table("Finds kept for recording", FIND_COLUMNS, rows))
    if photos := find_photos(ground.finds):
        blocks.append(PhotoGrid(photos))
    return blocks


def _find_row(find: Find) -> tuple[str, ...]:
    materials = ", ".join(str(row) for row in find.materials.all())
    holder = max(find.custody.all(), key=lambda entry: entry.step, default=None)
    now = f"{holder.to_name} ({holder.get_to_holder_display().lower()})" if holder else "–"
    return (find.number, find.object_type, str(find.count), materials or "–", now, _reporting(find))


def _reporting(find: Find) -> str:
    case = max(find.cases.all(), key=lambda case: case.opened_at, default=None)
    if case is None:
        return "no question open"
    return {
        "flagged": "may have to be reported by law; the committee is looking into it",
        "under review": "may have to be reported by law; the committee is looking into it",
        "no duty": "looked into: no duty found",
        "reported": "reported to the authority",
        "acknowledged": "with the authority",
        "decided": f"authority's decision: {case.get_decision_display().lower()}",
        "closed": "closed",
    }[case.state]


def _incidents(ground: Ground) -> list[Block]:
    rows = [row for row in ground.hunt.incidents.select_related("hole") if _concerns(row, ground)]
    if not rows:
        return []
    items = tuple(
        f"{row.get_kind_display()}: {row.words}{f' Told: {row.told}.' if row.told else ''}" for row in rows
    )
    return [Heading("What we noticed or had to deal with"), Bullets(items)]


def _concerns(row: Incident, ground: Ground) -> bool:
    """Injuries are the person's own affair; what happened at a hole belongs to that ground's landholder."""
    own = row.hole is None or row.hole.site_id in {site.pk for site in ground.sites}
    return own and row.kind != Incident.Kind.INJURY


def _next(ground: Ground) -> list[Block]:
    coming = (
        Hunt.objects.filter(permission=ground.hunt.permission)
        .coming(ground.hunt.on)
        .exclude(pk=ground.hunt.pk)
    )
    items = tuple(f"{long_day(hunt.on)}, {hunt.title}" for hunt in coming[:4])
    words = f"Questions, or anything not as it should be: {ground.hunt.leader.name} or {ground.club.name}."
    if ground.club.address:
        words += f" {ground.club.address}"
    blocks: list[Block] = [Heading("What comes next")]
    if items:
        blocks.append(Bullets(items))
    return [*blocks, Paragraph(words)]
