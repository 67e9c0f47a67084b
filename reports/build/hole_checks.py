"""What stewards saw of the holes: how many they looked at, who and when, what was put right, and looks weeks later."""

from collections import defaultdict
from datetime import datetime

from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from hunts.models import Hole, HoleRecheck
from hunts.models.hole import Ground as Surface
from hunts.rechecks import EARLIEST_DAYS, LATEST_DAYS
from reports.blocks import Block, Column, Heading, Paragraph, Table, say_columns
from reports.build.common import Ground, clock_time
from tongue import noop

CHECKS = (
    Column(noop("Steward")),
    Column(noop("Holes checked"), numeric=True),
    Column(noop("First")),
    Column(noop("Last")),
    Column(noop("Result")),
)
PUT_RIGHT = (Column(noop("Hole"), numeric=True), Column(noop("What was wrong")), Column(noop("Filled again")))
LOOKS = (
    Column(noop("Hole"), numeric=True),
    Column(noop("Looked at")),
    Column(noop("Days after filling"), numeric=True),
    Column(noop("By")),
    Column(noop("Result")),
)


def check_blocks(ground: Ground) -> list[Block]:
    """The steward's sample on the day, the holes that failed it, and every look weeks later."""
    blocks: list[Block] = [Heading(_("The steward's checks")), Paragraph(_sample(ground))]
    if rows := _by_steward(ground.holes):
        blocks.append(Table(_("Who checked, and when"), say_columns(CHECKS), rows))
    if failed := [hole for hole in ground.holes if hole.reopened_why]:
        rows = tuple(_put_right(hole) for hole in failed)
        blocks.append(Table(_("Opened again and put right"), say_columns(PUT_RIGHT), rows))
    return blocks + _looks(ground)


def _sample(ground: Ground) -> str:
    total = len(ground.holes)
    checked = sum(hole.state == "checked" for hole in ground.holes)
    failed = sum(bool(hole.reopened_why) for hole in ground.holes)
    share = f" ({100 * checked / total:.0f} %)" if total else ""
    words = _(
        "A steward who had not dug them looked at %(checked)s of %(total)s holes%(share)s and "
        "found them well filled."
    ) % {"checked": checked, "total": total, "share": share}
    if failed:
        return _n(
            "%(words)s %(failed)s was found wanting and opened again, as listed.",
            "%(words)s %(failed)s were found wanting and opened again, as listed.",
            failed,
        ) % {"words": words, "failed": failed}
    return _("%(words)s None was found wanting.") % {"words": words}


def _by_steward(holes: list[Hole]) -> tuple[tuple[str, ...], ...]:
    times: dict[str, list[datetime]] = defaultdict(list)
    for hole in holes:
        if hole.state == "checked" and hole.checked_by and hole.checked_at:
            times[hole.checked_by.name].append(hole.checked_at)
    return tuple(
        (name, str(len(at)), clock_time(min(at)), clock_time(max(at)), _("well filled"))
        for name, at in sorted(times.items())
    )


def _put_right(hole: Hole) -> tuple[str, ...]:
    again = clock_time(hole.filled_at) if hole.state != "dug" else _("not yet")
    return str(hole.number), hole.reopened_why, again


def _looks(ground: Ground) -> list[Block]:
    """Looks at settled plugs. Where grass was opened and nobody has been back, that is said."""
    found = HoleRecheck.objects.filter(hole__in=[hole.pk for hole in ground.holes]).select_related("by")
    by_hole = {hole.pk: hole for hole in ground.holes}
    rows = sorted(found, key=lambda look: (look.at, by_hole[look.hole_id].number))
    grass = sum(hole.ground == Surface.PASTURE for hole in ground.holes)
    if not rows and not grass:
        return []
    blocks: list[Block] = [Heading(_("Looked at again weeks later"), 3)]
    seen = len({look.hole_id for look in rows})
    words = _(
        "%(grass)s holes are on grass, where a plug is looked at again after %(earliest_days)s "
        "to %(latest_days)s days. "
    ) % {"grass": grass, "earliest_days": EARLIEST_DAYS, "latest_days": LATEST_DAYS}
    done = (
        _("%(seen)s holes were looked at again.") % {"seen": seen} if seen else _("Nobody has been back yet.")
    )
    blocks.append(Paragraph((words if grass else "") + done))
    if rows:
        lines = tuple(_look(look, by_hole[look.hole_id]) for look in rows)
        blocks.append(Table(_("Looks at settled holes"), say_columns(LOOKS), lines))
    return blocks


def _look(look: HoleRecheck, hole: Hole) -> tuple[str, ...]:
    result = _("sound") if look.sound else _("not sound, opened again")
    days = "–"  # a hole that was opened again has another day of filling since
    if hole.filled_at is not None and hole.filled_at <= look.at:
        days = str((localdate(look.at) - localdate(hole.filled_at)).days)
    words = f"{result}: {look.words}" if look.words else result
    return str(hole.number), clock_time(look.at), days, look.by.name, words
