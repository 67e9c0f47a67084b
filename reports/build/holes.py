"""The filled-holes report: every hole with its proof, and anything not filled in the open."""

from datetime import date

from django.utils.translation import gettext as _

from hunts.models import Hole, Hunt
from permissions.models import Landholder
from reports.blocks import (
    Block,
    Column,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    PageBreak,
    Paragraph,
    Photo,
    PhotoGrid,
    PhotoPair,
    Report,
    Table,
    say_columns,
)
from reports.build.common import Ground, clock_time, ground_map, ground_of, head_facts, long_day, place_words
from reports.build.hole_checks import check_blocks
from tongue import noop

COLUMNS = (
    Column(noop("Hole"), numeric=True),
    Column(noop("Field")),
    Column(noop("Where")),
    Column(noop("Depth (cm)"), numeric=True),
    Column(noop("Dug")),
    Column(noop("Filled")),
    Column(noop("Checked")),
)
LARGE_PAIRS = 24
"""More pairs than this are printed four photographs across, so that 900 holes stay a report and not a book."""


def holes_report(hunt: Hunt, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the filled-holes report of `hunt` for the land where `landholder` has a say, as things are `on`."""
    ground = ground_of(hunt, landholder)
    return Report(
        kind="holes",
        number=number,
        title=_("Filled-holes report"),
        subtitle=f"{hunt.title}, {long_day(hunt.on)}",
        club=ground.club.name,
        issued_on=on,
        facts=(*head_facts(ground), Fact(_("Holes"), _count(ground))),
        blocks=tuple(_blocks(ground)),
    )


def _count(ground: Ground) -> str:
    by_state = {state: sum(h.state == state for h in ground.holes) for state in ("dug", "filled", "checked")}
    filled = by_state["filled"] + by_state["checked"]
    counts = _("%(ground_holes)s dug, %(filled)s filled, %(by_state)s checked by a steward") % {
        "ground_holes": len(ground.holes),
        "filled": filled,
        "by_state": by_state["checked"],
    }
    return _("%(counts)s, %(by_state)s not filled") % {"counts": counts, "by_state": by_state["dug"]}


def _blocks(ground: Ground) -> list[Block]:
    if not ground.holes:
        return [Paragraph(_("No hole was dug on this visit."))]
    blocks: list[Block] = []
    not_filled = [hole for hole in ground.holes if hole.state == "dug"]
    if not_filled:
        text = "; ".join(
            _("hole %(number)s in %(site)s, dug %(time)s by %(digger)s")
            % {
                "number": hole.number,
                "site": hole.site.name,
                "time": clock_time(hole.dug_at),
                "digger": hole.digger.name,
            }
            for hole in not_filled
        )
        blocks.append(
            Notice(NoticeKind.LATE, _("Not recorded as filled: %(text)s.") % {"text": text}, _("Not filled"))
        )
    if (drawn := ground_map(ground, finds=False)) is not None:
        blocks.append(drawn)
    blocks += check_blocks(ground)
    rows = tuple(_row(hole, ground) for hole in ground.holes)
    blocks += [Heading(_("All holes")), Table(_("Every hole of the visit"), say_columns(COLUMNS), rows)]
    return blocks + _photographs(ground)


def _row(hole: Hole, ground: Ground) -> tuple[str, ...]:
    checked = f"{clock_time(hole.checked_at)}, {hole.checked_by.name}" if hole.checked_by else "–"
    return (
        str(hole.number),
        hole.site.code,
        place_words(hole, ground.reader),
        str(hole.depth_cm),
        clock_time(hole.dug_at),
        clock_time(hole.filled_at) if hole.state != "dug" else _("not filled"),
        checked if hole.state == "checked" else "–",
    )


def _photographs(ground: Ground) -> list[Block]:
    """A pair for each hole; with many holes four across, whole pairs first so that each stands side by side."""
    pairs = [pair for hole in ground.holes if (pair := _pair(hole))]
    if not pairs:
        return []
    none = len(ground.holes) - len(pairs)
    said = (
        _("%(pairs)s of %(ground_holes)s holes were photographed.")
        % {"pairs": len(pairs), "ground_holes": len(ground.holes)}
        if none
        else ""
    )
    blocks: list[Block] = [Heading(_("Photographs")), *([Paragraph(said)] if said else [])]
    if len(pairs) <= LARGE_PAIRS:
        return blocks + pairs
    both = [(p.before, p.after) for p in pairs if p.before and p.after]
    single = tuple(one for p in pairs if not (p.before and p.after) for one in (p.before, p.after) if one)
    if both:
        blocks.append(PhotoGrid(tuple(photo for pair in both for photo in pair), 4))
    if single:
        blocks += [Heading(_("Holes with one photograph only"), 3), PhotoGrid(single, 4)]
    return [PageBreak(), *blocks]


def _pair(hole: Hole) -> PhotoPair | None:
    shown: dict[str, Photo] = {}
    for photo in hole.photos.all():
        words = _("Hole %(hole_number)s, %(stage)s") % {
            "hole_number": hole.number,
            "stage": photo.get_stage_display().lower(),
        }
        shown[photo.stage] = Photo(f"hole-{photo.pk}", words, words)
    if not shown:
        return None
    return PhotoPair(
        _("Hole %(hole_number)s") % {"hole_number": hole.number},
        shown.get("before") or shown.get("open"),
        shown.get("after"),
    )
