"""The part of a visit report about finds: what each is in plain words, where it is, what is reported, what is open."""

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Find
from finds.models.choices import Certainty
from finds.models.custody import CustodyEntry
from finds.states import LOCKS
from reports.blocks import Block, Column, Heading, Paragraph, Table, say_columns
from reports.build.common import Ground
from tongue import noop

FIND_COLUMNS = (
    Column(noop("Number")),
    Column(noop("Object")),
    Column(noop("How many"), numeric=True),
    Column(noop("Material")),
    Column(noop("Where it is now")),
    Column(noop("Reporting")),
)
NOTHING = noop("Nothing was kept for recording. That is worth knowing too: we keep the day as searched.")
REPORTING = {
    "flagged": noop("may have to be reported by law; the committee is looking into it"),
    "under review": noop("may have to be reported by law; the committee is looking into it"),
    "no duty": noop("looked into: no duty found"),
    "reported": noop("reported to the authority"),
    "acknowledged": noop("with the authority"),
    "closed": noop("closed"),
}


def find_blocks(ground: Ground) -> list[Block]:
    """A table of everything kept."""
    heading = Heading(_("What was found"))
    if not ground.finds:
        return [heading, Paragraph(_(NOTHING))]
    rows = tuple(_find_row(find) for find in ground.finds)
    return [heading, Table(_("Finds kept for recording"), say_columns(FIND_COLUMNS), rows)]


def _find_row(find: Find) -> tuple[str, ...]:
    materials = ", ".join(str(row) for row in find.materials.all())
    return (
        find.number,
        plain_identification(find),
        str(find.count),
        materials or "–",
        _where_now(find),
        _reporting(find),
    )


def plain_identification(find: Find) -> str:
    """'halfpenny: medieval, 1279 to 1489, probable': what it is, when it was made and how sure that is."""
    when = [word for word in (find.period, find.years) if word and word != "–"]
    if when and find.certainty in {Certainty.PROBABLE, Certainty.POSSIBLE}:
        when.append(find.get_certainty_display().lower())
    return f"{find.object_type}: {', '.join(when)}" if when else find.object_type


def _newest(find: Find) -> CustodyEntry | None:
    return max(find.custody.all(), key=lambda entry: entry.step, default=None)


def _where_now(find: Find) -> str:
    holder = _newest(find)
    if holder is None:
        return "–"
    words = f"{holder.to_shown} ({holder.get_to_holder_display().lower()})"
    return (
        _("%(words)s, back by %(holder_due_back)s")
        % {"words": words, "holder_due_back": date_format(holder.due_back, "j M Y")}
        if holder.due_back
        else words
    )


def _reporting(find: Find) -> str:
    case = max(find.cases.all(), key=lambda case: case.opened_at, default=None)
    if case is None:
        return _("no case was opened")
    if case.state == "decided":
        return _("authority's decision: %(decision)s") % {"decision": case.get_decision_display().lower()}
    words = _(REPORTING.get(case.state, case.state))
    if case.state == "reported" and case.reported_on:
        return _("%(words)s on %(case_reported_on)s") % {
            "words": words,
            "case_reported_on": date_format(case.reported_on, "j M Y"),
        }
    return words


def to_decide(ground: Ground) -> list[str]:
    """Finds that were valued and of which nobody has said what becomes of them; never one that the law holds."""
    held = Find.objects.filter(cases__state__in=LOCKS).values("pk")
    open_ones = Find.objects.filter(
        pk__in=[find.pk for find in ground.finds], locked=False, valuations__isnull=False, fates__isnull=True
    ).exclude(pk__in=held)
    return [
        _(
            "%(find_number)s, %(find_object_type)s: it has been valued. Shall it be kept, shared, sold "
            "or given to a museum?"
        )
        % {"find_number": find.number, "find_object_type": find.object_type}
        for find in open_ones.distinct().order_by("number")
    ]
