"""The papers of a visit to the officer: the hand-over list, and a receipt for each person whose finds go.

What a receipt holds follows the museum procedure for object entry (Spectrum, named in the project's trade notes,
section 8): a number, the depositor and on whose authority, the reason, the return date, the condition, the receiver,
the place, and what happens to uncollected items.
"""

from collections.abc import Mapping, Sequence
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.actions.custody import holder_words
from finds.models import Find
from people.models import Club
from people.sensitivity import ShownPoint
from reports.blocks import (
    Block,
    Column,
    Fact,
    FactList,
    Heading,
    Notice,
    NoticeKind,
    PageBreak,
    Paragraph,
    Report,
    SignatureBox,
    Table,
)
from reports.build.common import long_day
from reports.models import OfficerVisit, OfficerVisitItem
from reports.officer_visit_page import holder_of
from tongue import noop

UNCOLLECTED = noop(
    "If an object is not collected by the day it is due back, the club is asked at the address above before anything "
    "is done with it. It stays the property of its owner: handing it over passes on no title."
)


def visit_papers(
    visit: OfficerVisit,
    items: Sequence[OfficerVisitItem],
    *,
    club: Club,
    on: date,
    places: Mapping[int, ShownPoint | None] | None = None,
) -> Report:
    """Return the list of `visit` and its receipts; with findspots only where `places` are given."""
    blocks: list[Block] = []
    if places is not None:
        words = _("This list gives exact findspots. Hand it over in person and leave no copy lying about.")
        blocks.append(Notice(NoticeKind.CAUTION, words, _("Findspots")))
    blocks.append(_list(items, places))
    left = [item for item in items if item.why]
    if left:
        rows = tuple((item.find.number, item.why) for item in left)
        blocks.append(Table(_("Not handed over"), (Column(_("Number")), Column(_("Why"))), rows))
    for number, (giver, mine) in enumerate(_by_giver(items).items(), 1):
        blocks += _receipt(visit, giver, mine, number)
    return Report(
        kind="officer-visit",
        number=visit.number,
        title=_("Finds handed to the officer"),
        subtitle=_("%(long_day)s, to %(visit_to_name)s")
        % {"long_day": long_day(visit.on), "visit_to_name": visit.to_name},
        club=club.name,
        issued_on=on,
        facts=_facts(visit, club, len(items)),
        blocks=tuple(blocks),
    )


def _facts(visit: OfficerVisit, club: Club, count: int) -> tuple[Fact, ...]:
    lines = [
        (_("To"), f"{visit.to_name} ({visit.get_to_holder_display().lower()})"),
        (_("Their details"), visit.to_details),
        (_("Where"), visit.place),
        (_("Taken by"), visit.taken_by),
        (_("What for"), visit.purpose),
        (_("Due back"), date_format(visit.due_back, "j F Y") if visit.due_back else _("not agreed")),
        (_("Objects"), str(count)),
        (_("Club"), club.address or club.name),
    ]
    return tuple(Fact(label, value) for label, value in lines if value)


def _list(items: Sequence[OfficerVisitItem], places: Mapping[int, ShownPoint | None] | None) -> Table:
    columns = [
        Column(_("Number")),
        Column(_("Object")),
        Column(_("How many"), numeric=True),
        Column(_("Material")),
        Column(_("Finder")),
        Column(_("Condition")),
    ]
    if places is not None:
        columns.append(Column(_("Findspot")))
    rows = tuple(_row(item, places) for item in items)
    return Table(_("Objects taken along"), tuple(columns), rows)


def _row(item: OfficerVisitItem, places: Mapping[int, ShownPoint | None] | None) -> tuple[str, ...]:
    find: Find = item.find
    materials = ", ".join(str(row) for row in find.materials.all())
    cells = [find.number, find.object_type, str(find.count), materials or "–", find.finder.name]
    cells.append(item.condition or "–")
    if places is not None:
        point = places.get(find.pk)
        cells.append(point.label if point else _("not recorded"))
    return tuple(cells)


def _by_giver(items: Sequence[OfficerVisitItem]) -> dict[str, list[OfficerVisitItem]]:
    """Whose finds go: by the hand-over once there is one, before by who holds them."""
    found: dict[str, list[OfficerVisitItem]] = {}
    for item in items:
        if item.why:
            continue
        last = holder_of(item.find)
        giver = (
            item.hand_over.from_shown if item.hand_over else holder_words(last) if last else _("not recorded")
        )
        found.setdefault(giver, []).append(item)
    return dict(sorted(found.items()))


def _receipt(visit: OfficerVisit, giver: str, items: Sequence[OfficerVisitItem], number: int) -> list[Block]:
    hand_over = items[0].hand_over
    rows = tuple(
        (item.find.number, item.find.object_type, str(item.find.count), item.condition or "–")
        for item in items
    )
    columns = (
        Column(_("Number")),
        Column(_("Object")),
        Column(_("How many"), numeric=True),
        Column(_("Condition")),
    )
    authority = (
        hand_over.get_capacity_display() if hand_over and hand_over.capacity else _("To be said by the giver")
    )
    lines = [
        Fact(_("Receipt"), hand_over.number if hand_over else f"{visit.number}-{number}"),
        Fact(_("Handed over by"), giver),
        Fact(_("On whose authority"), authority),
        Fact(_("Received by"), visit.to_name),
        Fact(_("Day"), long_day(visit.on)),
        Fact(_("What for"), visit.purpose),
        Fact(_("Kept at"), visit.place or _("to be said by the receiver")),
        Fact(_("Due back"), date_format(visit.due_back, "j F Y") if visit.due_back else _("not agreed")),
    ]
    return [
        PageBreak(),
        Heading(_("Receipt for %(giver)s") % {"giver": giver}),
        FactList(tuple(lines)),
        Table(_("Objects of %(giver)s") % {"giver": giver}, columns, rows),
        Paragraph(_(UNCOLLECTED)),
        SignatureBox(
            _n(
                "The entry above was handed over and received in the condition stated.",
                "The %(rows)s entries above were handed over and received in the condition stated.",
                len(rows),
            )
            % {"rows": len(rows)},
            (
                _("Handed over: %(visit_taken_by)s") % {"visit_taken_by": visit.taken_by},
                _("Received: %(visit_to_name)s") % {"visit_to_name": visit.to_name},
            ),
        ),
    ]
