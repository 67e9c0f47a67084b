"""The visit report: one page for the landholder within days, in plain words."""

from collections import Counter
from datetime import date

from django.utils.translation import gettext as _

from hunts.models import Hunt, Incident
from hunts.models.hole import Outcome
from permissions.models import Landholder
from reports.blocks import (
    Block,
    Bullets,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    Paragraph,
    Photo,
    PhotoGrid,
    Report,
)
from reports.build.common import Ground, find_photos, ground_map, ground_of, head_facts, heads, long_day
from reports.build.covered import covered_on, covered_shapes, covered_words
from reports.build.visit_finds import find_blocks, to_decide
from reports.models import VisitDraft
from tongue import figure, noop

MAP_HEIGHT_PX = 340  # so that a short report stays on one page
LESS_KNOWN = noop("Nothing was noted.")


def visit_report(hunt: Hunt, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the visit report of `hunt` for the land where `landholder` has a say, dated `on`."""
    ground = ground_of(hunt, landholder)
    draft = VisitDraft.objects.filter(hunt=hunt).first() or VisitDraft(hunt=hunt)
    covered = covered_on(hunt, ground.sites)
    blocks: list[Block] = []
    if hunt.leader_report:
        blocks.append(Paragraph(hunt.leader_report))
    blocks += _holes(ground)
    blocks += [*find_blocks(ground), *_photographs(ground)]
    drawn = ground_map(ground, finds=True, covered=covered_shapes(covered), height_px=MAP_HEIGHT_PX)
    if drawn is not None:
        blocks += [Heading(_("Where we were")), drawn, Paragraph(covered_words(covered))]
    blocks += _noticed(ground)
    if items := [*to_decide(ground), *_lines(draft.decide)]:
        blocks += [Heading(_("For you to decide")), Bullets(tuple(items))]
    blocks += _next(ground, draft.next_dates)
    return Report(
        kind="visit",
        number=number,
        title=_("Visit report"),
        subtitle=f"{hunt.title}, {long_day(hunt.on)}",
        club=ground.club.name,
        issued_on=on,
        facts=(*head_facts(ground), Fact(_("People"), heads(ground, named=names_people(hunt, draft)))),
        blocks=tuple(blocks),
    )


def names_people(hunt: Hunt, draft: VisitDraft) -> bool:
    """Whether the people are named: as the leader chose, and always where only named people may come."""
    return draft.name_people or (hunt.permission is not None and hunt.permission.named_only)


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _holes(ground: Ground) -> list[Block]:
    dug = [hole for hole in ground.holes if hole.state == "dug"]
    total = len(ground.holes)
    if not total:
        return [Heading(_("Holes")), Paragraph(_("No hole was dug.%(scrap)s") % {"scrap": _scrap(ground)})]
    filled = _("%(value)s of %(total)s holes are filled") % {"value": total - len(dug), "total": total}
    checked = sum(hole.state == "checked" for hole in ground.holes)
    blocks: list[Block] = [
        Heading(_("Holes")),
        Paragraph(
            _("%(filled)s; %(checked)s were looked at again by a steward.\n%(outcomes)s")
            % {"filled": filled, "checked": checked, "outcomes": _outcomes(ground)}
        ),
    ]
    if dug:
        numbers = ", ".join(str(hole.number) for hole in dug)
        why = f" {ground.hunt.unfilled_why}" if ground.hunt.unfilled_why else ""
        words = _("Not recorded as filled: %(numbers)s.%(why)s We are putting this right.") % {
            "numbers": numbers,
            "why": why,
        }
        blocks.append(Notice(NoticeKind.OPEN, words, _("Still open")))
    return blocks


def _photographs(ground: Ground) -> list[Block]:
    """A photograph for each find and a few holes open and filled: one row of six where they fit, else four across."""
    finds = find_photos(ground.finds)
    shown = (*finds, *_hole_photos(ground, 2 if len(finds) <= 2 else 1))
    return [PhotoGrid(shown, 6 if len(shown) <= 6 else 4)] if shown else []


def _hole_photos(ground: Ground, pairs: int) -> tuple[Photo, ...]:
    """The first holes that were photographed both open and filled; the filled-holes report has them all."""
    shown: list[Photo] = []
    for hole in ground.holes:
        stages = {photo.stage: photo for photo in hole.photos.all()}
        opened, filled = stages.get("before") or stages.get("open"), stages.get("after")
        if opened is None or filled is None or hole.locked:
            continue
        shown += [
            Photo(
                f"hole-{photo.pk}",
                _("Hole %(hole_number)s, %(words)s") % {"hole_number": hole.number, "words": words},
                _("Hole %(hole_number)s, %(words)s") % {"hole_number": hole.number, "words": words},
            )
            for photo, words in ((opened, _("open")), (filled, _("filled")))
        ]
    return tuple(shown[: 2 * pairs])


def _outcomes(ground: Ground) -> str:
    """What the holes here came to; scrap is weighed for the hunt as a whole."""
    counts = Counter(hole.outcome for hole in ground.holes)
    parts = [f"{counts[each.value]} {each.label.lower()}" for each in Outcome if counts[each.value]]
    return _("What came out: %(parts)s.%(scrap)s") % {"parts": "; ".join(parts), "scrap": _scrap(ground)}


def _scrap(ground: Ground) -> str:
    kg = ground.hunt.scrap_kg
    return (
        ""
        if kg is None
        else _(" Scrap taken away from the whole hunt: %(normalize)s kg.")
        % {"normalize": figure(f"{kg.normalize():f}")}
    )


def _noticed(ground: Ground) -> list[Block]:
    """Gates, stock, strangers, damage and incidents; a closed hunt says so where nothing was noted."""
    hunt = ground.hunt
    items = []
    if hunt.closed_at or hunt.noticed:
        items.append(
            _("Gates, stock, fences and strangers: %(value)s") % {"value": hunt.noticed or _(LESS_KNOWN)}
        )
    if hunt.closed_at or hunt.damage:
        items.append(_("Damage: %(value)s") % {"value": hunt.damage or _("None is known to us.")})
    rows = [row for row in hunt.incidents.select_related("hole") if _concerns(row, ground)]
    items += [
        f"{row.get_kind_display()}: {row.words}{_(' Told: %(told)s.') % {'told': row.told} if row.told else ''}"
        for row in rows
    ]
    return [Heading(_("What we noticed or had to deal with")), Bullets(tuple(items))] if items else []


def _concerns(row: Incident, ground: Ground) -> bool:
    """Injuries are the person's own affair; what happened on one field belongs to that ground's landholder."""
    site_id = row.hole.site_id if row.hole else row.site_id
    own = site_id is None or site_id in {site.pk for site in ground.sites}
    return own and row.kind != Incident.Kind.INJURY


def _next(ground: Ground, asked: str) -> list[Block]:
    coming = (
        Hunt.objects.filter(permission=ground.hunt.permission)
        .coming(ground.hunt.on)
        .exclude(pk=ground.hunt.pk)
    )
    items = [f"{long_day(hunt.on)}, {hunt.title}" for hunt in coming[:4]]
    if asked:
        items.append(_("We ask for: %(asked)s. Please tell us whether that suits you.") % {"asked": asked})
    words = _("Questions, or anything not as it should be: %(leader_name)s or %(club_name)s.") % {
        "leader_name": ground.hunt.leader.name,
        "club_name": ground.club.name,
    }
    if ground.club.address:
        words += f" {ground.club.address}"
    blocks: list[Block] = [Heading(_("What comes next"))]
    if items:
        blocks.append(Bullets(tuple(items)))
    return [*blocks, Paragraph(words)]
