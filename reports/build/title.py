"""Title to one object: given by one to another, or waived, with the object's number, its photograph and the day.

Source of the parts: facts/trade.md 8 (common practice); it is no legal advice, and says so.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from finds.models import Find
from permissions.terms import long_date
from reports.blocks import (
    Block,
    Column,
    Fact,
    Heading,
    Notice,
    NoticeKind,
    Paragraph,
    PhotoGrid,
    Report,
    SignatureBox,
    Table,
)
from reports.build.common import find_photos
from tongue import noop

UNITED_KINGDOM = frozenset({"england", "wales", "scotland", "northern-ireland"})
EXPORT = noop(
    "Archaeological material from the soil of the United Kingdom that is more than 50 years old needs a licence before "
    "it leaves the country, whatever it is worth. Ask the export licensing authority first. (Common knowledge of the "
    "trade, from a published export table at second hand: check the rule in force.)"
)
NO_ADVICE = noop(
    "This paper records what those named have agreed. It is no legal advice, and it passes nothing that the giver does "
    "not own: where the law gives a find to the State or to somebody else, the law goes first."
)


def title_report(find: Find, given: Mapping[str, Any], club: str, *, number: str, on: date) -> Report:
    """A transfer of title, or a disclaimer where `given["kind"]` says so. `given`: giver, receiver, consideration…"""
    waives = given["kind"] == "disclaimer"
    facts = (
        Fact(_("Object"), f"{find.number} {find.object_type}"),
        Fact(_("Waived by") if waives else _("From"), given["giver"]),
        Fact(_("In favour of") if waives else _("To"), given["receiver"]),
    )
    return Report(
        kind="title",
        number=number,
        title=_("Disclaimer") if waives else _("Transfer of title"),
        subtitle=f"{find.number} {find.object_type}",
        club=club,
        issued_on=on,
        facts=facts,
        blocks=tuple(_blocks(find, given, waives)),
    )


def statement(given: Mapping[str, Any], number: str) -> str:
    """The sentence that both parties stand under."""
    if given["kind"] == "disclaimer":
        return _("%(giver)s waives every claim to %(number)s in favour of %(receiver)s, from %(day)s.") % {
            "giver": given["giver"],
            "number": number,
            "receiver": given["receiver"],
            "day": _day(given["effective"]),
        }
    return _("%(giver)s passes all title in %(number)s to %(receiver)s, who accepts it, from %(day)s.") % {
        "giver": given["giver"],
        "number": number,
        "receiver": given["receiver"],
        "day": _day(given["effective"]),
    }


def _day(value: str) -> str:
    return long_date(date.fromisoformat(value))


def _blocks(find: Find, given: Mapping[str, Any], waives: bool) -> list[Block]:
    blocks: list[Block] = [
        Paragraph(statement(given, find.number)),
        Table(_("The object"), (Column(_("What")), Column(_("As recorded"))), _object_rows(find)),
        Heading(_("In return")),
        Paragraph(given["consideration"]),
    ]
    if given["authority"]:
        blocks += [Heading(_("On what authority")), Paragraph(given["authority"])]
    photos = find_photos([find])
    blocks.append(PhotoGrid(photos, 2) if photos else Paragraph(_("There is no photograph of it on record.")))
    blocks.append(Paragraph(_(NO_ADVICE)))
    if find.site.jurisdiction in UNITED_KINGDOM:
        blocks.append(Notice(NoticeKind.CAUTION, _(EXPORT), _("Before it leaves the country")))
    people = (given["giver"],) if waives else (given["giver"], given["receiver"])
    return [*blocks, SignatureBox(statement(given, find.number), people)]


def _object_rows(find: Find) -> tuple[tuple[str, str], ...]:
    rows = [
        (_("Number"), find.number),
        (_("Object"), f"{find.count} × {find.object_type}" if find.count > 1 else find.object_type),
        (_("Material"), ", ".join(str(material) for material in find.materials.all()) or _("not recorded")),
        (_("Weight"), f"{find.weight_g} g" if find.weight_g is not None else _("not recorded")),
        (_("Found by"), f"{find.finder.name}, {long_date(find.hunt.on)}"),
    ]
    return tuple(rows)
