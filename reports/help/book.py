"""The field handbook: the chapters of the help, the drills of the club's law and its own numbers, as one report."""

from collections.abc import Iterator
from datetime import date

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from hunts.drills import ON_CARD, DrillShown, emergency_of, shown
from hunts.models import Incident
from people.models import Club, Contact
from reports.blocks import (
    Block,
    Bullets,
    Column,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    PageBreak,
    Paragraph,
    Report,
    Table,
)
from reports.help import field_texts as field
from reports.help.model import Part

IN_THE_GROUND = (*ON_CARD, Incident.Kind.SERVICES)


def handbook(club: Club, *, on: date) -> Report:
    """The handbook under the club's own law, with its contacts as they are on that day."""
    contacts = list(Contact.objects.filter(jurisdiction=club.jurisdiction))
    drills = {row.drill.key: row for row in shown(contacts, club.jurisdiction)}
    return Report(
        kind="handbook",
        number=_("Field handbook"),
        title=_("Field handbook"),
        subtitle=_("For a pocket that gets wet. Read it before the day; carry it on the day."),
        club=club.name,
        issued_on=on,
        facts=_facts(club, drills),
        blocks=tuple(_blocks(contacts, drills)),
        language=language_tag(),
    )


def language_tag() -> str:
    """The language that is spoken now, as BCP 47 writes it: en-GB."""
    language, _sign, region = (get_language() or "en-gb").partition("-")
    return f"{language}-{region.upper()}" if region else language


def _facts(club: Club, drills: dict[str, DrillShown]) -> tuple[Fact, ...]:
    facts = [Fact(_("Emergency number"), emergency_of([club.jurisdiction]))]
    if club.emergency_department:
        facts.append(Fact(_("Nearest emergency department"), club.emergency_department))
    return (*facts, Fact(_("Law"), next(iter(drills.values())).place))


def _blocks(contacts: list[Contact], drills: dict[str, DrillShown]) -> Iterator[Block]:
    yield Notice(NoticeKind.CAUTION, str(field.DEFER))
    yield _numbers(contacts)
    for part in (field.BEFORE, field.GATE, field.SWEEP, field.DIG, field.FIND, field.LEAVE):
        yield from _chapter(part)
    yield PageBreak()
    yield Heading(_("Stop: what may lie in the ground"))
    for key in IN_THE_GROUND:
        yield from _drill(drills[key])
    yield from _chapter(field.EMERGENCY)
    yield from _drill(drills[Incident.Kind.INJURY])


def _numbers(contacts: list[Contact]) -> Table:
    rows = tuple((row.get_kind_display(), row.name, row.phone or row.email, row.hours) for row in contacts)
    columns = tuple(Column(label) for label in (_("For"), _("Name"), _("Call"), _("When")))
    note = "" if rows else _("The club has entered nobody yet. Write the numbers here by hand.")
    return Table(_("Whom to call"), columns, rows, note)


def _chapter(part: Part) -> Iterator[Block]:
    yield Heading(str(part.title))
    yield Bullets(tuple(map(str, part.lines)), part.ordered)
    if part.source:
        yield Paragraph(_("Rests on: %(source)s.") % {"source": part.source})


def _drill(row: DrillShown) -> Iterator[Block]:
    yield Heading(str(row.drill.title), 3)
    yield Notice(NoticeKind.CAUTION, str(row.drill.at_once))
    yield Bullets(tuple(map(str, row.drill.steps)), ordered=True)
    if called := "; ".join(f"{each.name}: {each.phone}" for each in row.contacts if each.phone):
        yield Paragraph(_("Call %(whom)s.") % {"whom": called})
