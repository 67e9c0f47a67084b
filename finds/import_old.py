"""A table of old finds as the pages of an import show it: the plan of finds in the words of every other table."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from finds.import_coming import as_entered
from finds.import_judged import Judged, judge_old_finds
from finds.import_outings import outings_for
from finds.import_page import sample_of
from people.models import User
from people.rights import Right, require
from web.tables.match import Matched
from web.tables.plan import Coming, Plan


def try_old_finds(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Judged:
    """What the rows would become on outings as they would be entered. Nothing is written and nobody waits for it."""
    require(by, Right.MANAGE_PERMISSIONS)
    asked = outings_for(matched.rows, by=by, order=str(answers.get("day_order", "")))
    coming = as_entered(asked, today=localdate(at))
    entered = [each.hunt for each in coming if each.fields]
    return judge_old_finds(matched, asked, answers, coming, entered, by=by, at=at)


def plan_old_finds(matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Plan:
    """What the rows would become; nothing stays written."""
    judged = try_old_finds(matched, answers, by=by, at=at)
    plan = Plan(problems=judged.plan.problems, mark=judged.plan.seal, notes=_notes(matched, judged))
    for row in judged.plan.new:
        shown = sample_of(row)
        says = [
            shown.hunt,
            shown.found,
            shown.finder,
            *(x for x in (shown.materials, shown.place) if x != "–"),
        ]
        plan.new.append(Coming(row.line, shown.what, says, warnings=list(row.warnings)))
    for row in judged.plan.known:
        coming = Coming(row.line, str(row.there), there=row.there, differs=list(row.differs))
        if row.there and row.there.withdrawn_at:
            coming.warnings.append(_("It was withdrawn; it is not made again."))
        plan.known.append(coming)
    return plan


def _notes(matched: Matched, judged: Judged) -> list[str]:
    """What is to be known of the rows together."""
    nobody = sum(not row.cells.get("finder") for row in matched.rows)
    counted = (
        (len(judged.entered), ngettext(
            "%(count)s past outing is entered for a day and field that has none: %(codes)s.",
            "%(count)s past outings are entered for days and fields that have none: %(codes)s.",
            len(judged.entered),
        )),
        (nobody, ngettext(
            "%(count)s row names no finder; it is recorded as found by you.",
            "%(count)s rows name no finder; they are recorded as found by you.",
            nobody,
        )),
        (judged.plan.unnamed, ngettext(
            "%(count)s row has no reference of its own. The same file may be sent again all the same, but a row "
            "that you change later is then a new find.",
            "%(count)s rows have no reference of their own. The same file may be sent again all the same, but a "
            "row that you change later is then a new find.",
            judged.plan.unnamed,
        )),
    )  # fmt: skip
    codes = ", ".join(str(hunt) for hunt in judged.entered[:12])
    return [words % {"count": count, "codes": codes} for count, words in counted if count]
