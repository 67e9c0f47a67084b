"""The returns statement: what goes back to whom, under which term, to be signed for."""

from datetime import date

from django.utils.translation import gettext as _

from finds.models import CustodyEntry, Find
from hunts.models import Hunt
from permissions.agreed import sharing_of
from permissions.models import Landholder
from permissions.terms.sharing_words import sharing_in_words
from reports.blocks import (
    Block,
    Column,
    Fact,
    Heading,
    Paragraph,
    PhotoGrid,
    Report,
    SignatureBox,
    Table,
    say_columns,
)
from reports.build.common import Ground, find_photos, ground_of, head_facts, long_day
from tongue import noop

COLUMNS = (
    Column(noop("Number")),
    Column(noop("Object")),
    Column(noop("How many"), numeric=True),
    Column(noop("Held now by")),
    Column(noop("What happens")),
)


def returns_report(hunt: Hunt, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the returns statement of `hunt` for the land where `landholder` has a say, dated `on`."""
    ground = ground_of(hunt, landholder)
    who = landholder.name if landholder else _("the landholders")
    return Report(
        kind="returns",
        number=number,
        title=_("Returns statement"),
        subtitle=f"{hunt.title}, {long_day(hunt.on)}",
        club=ground.club.name,
        issued_on=on,
        facts=(*head_facts(ground), Fact(_("For"), who)),
        blocks=tuple(_blocks(ground, who)),
    )


HOW = noop(
    "This statement moves nothing by itself. An object goes back by a hand-over that both sides sign, with a receipt, "
    "or by a returns statement that names what goes back now and that the landholder confirms."
)


def _blocks(ground: Ground, who: str) -> list[Block]:
    terms = terms_words(ground.hunt, ground.club.currency)
    if not ground.finds:
        return [
            Paragraph(_("Nothing was kept on this visit, so nothing is to be returned.")),
            Paragraph(terms),
        ]
    rows = tuple(_row(find) for find in ground.finds)
    blocks: list[Block] = [
        Paragraph(terms),
        Table(_("Objects and what happens to them"), say_columns(COLUMNS), rows),
        Paragraph(_(HOW)),
    ]
    if photos := find_photos(ground.finds):
        blocks += [Heading(_("Photographs")), PhotoGrid(photos)]
    statement = _(
        "The objects listed as returned were received. Anything missing or not right is written here:"
    )
    return [*blocks, SignatureBox(statement, (who, _("For %(club_name)s") % {"club_name": ground.club.name}))]


def terms_words(hunt: Hunt, currency: str) -> str:
    """Under what objects of this hunt go back or are shared."""
    if hunt.permission is None:
        return no_terms_words(hunt)
    shared = sharing_in_words(sharing_of(hunt.permission), currency)
    return _("Agreed in %(reference)s: %(shared)s") % {
        "reference": hunt.permission.reference,
        "shared": shared,
    }


def no_terms_words(hunt: Hunt) -> str:
    return _(
        "%(hunt_code)s was before the records kept here. Permission: %(hunt_permission_words)s. No "
        "terms of sharing are on record for it; agree them before anything changes hands."
    ) % {"hunt_code": hunt.code, "hunt_permission_words": hunt.permission_words}


def _row(find: Find) -> tuple[str, ...]:
    return (find.number, find.object_type, str(find.count), held_words(find), fate_words(find))


def holder_of(find: Find) -> CustodyEntry | None:
    """The newest step of the find's ledger, which was fetched before."""
    return max(find.custody.all(), key=lambda entry: entry.step, default=None)


def held_words(find: Find) -> str:
    last = holder_of(find)
    return f"{last.to_shown}, {last.get_to_holder_display().lower()}" if last else "–"


def fate_words(find: Find) -> str:
    """What happens to the object, in words for the landholder."""
    last = holder_of(find)
    if find.locked:
        return _("held while the law's questions are answered; you will be told the outcome")
    return {
        "landholder": _("returned"),
        "lost": _("lost; please speak to us"),
        "reburied": _("reburied"),
        "buyer": _("sold as agreed"),
        "museum": _("with a museum"),
        "officer": _("with the heritage officer for recording, then back"),
        "conservator": _("with a conservator, then back"),
    }.get(last.to_holder if last else "", _("to be returned or shared as agreed"))
