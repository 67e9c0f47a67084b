"""The returns statement: what goes back to whom, under which term, to be signed for."""

from datetime import date

from finds.models import CustodyEntry, Find
from hunts.models import Hunt
from permissions.agreed import sharing_of
from permissions.models import Landholder
from permissions.terms.words import sharing_in_words
from reports.blocks import Block, Column, Fact, Heading, Paragraph, PhotoGrid, Report, SignatureBox, Table
from reports.build.common import Ground, find_photos, ground_of, head_facts, long_day

COLUMNS = (
    Column("Number"),
    Column("Object"),
    Column("How many", numeric=True),
    Column("Held now by"),
    Column("What happens"),
)


def returns_report(hunt: Hunt, landholder: Landholder | None, *, number: str, on: date) -> Report:
    """Return the returns statement of `hunt` for the land where `landholder` has a say, dated `on`."""
    ground = ground_of(hunt, landholder)
    who = landholder.name if landholder else "the landholders"
    return Report(
        kind="returns",
        number=number,
        title="Returns statement",
        subtitle=f"{hunt.title}, {long_day(hunt.on)}",
        club=ground.club.name,
        issued_on=on,
        facts=(*head_facts(ground), Fact("For", who)),
        blocks=tuple(_blocks(ground, who)),
    )


HOW = (
    "This statement moves nothing by itself. An object goes back by a hand-over that both sides sign, with a receipt, "
    "or by a returns statement that names what goes back now and that the landholder confirms."
)


def _blocks(ground: Ground, who: str) -> list[Block]:
    terms = terms_words(ground.hunt, ground.club.currency)
    if not ground.finds:
        return [
            Paragraph("Nothing was kept on this visit, so nothing is to be returned."),
            Paragraph(terms),
        ]
    rows = tuple(_row(find) for find in ground.finds)
    blocks: list[Block] = [
        Paragraph(terms),
        Table("Objects and what happens to them", COLUMNS, rows),
        Paragraph(HOW),
    ]
    if photos := find_photos(ground.finds):
        blocks += [Heading("Photographs"), PhotoGrid(photos)]
    statement = "The objects listed as returned were received. Anything missing or not right is written here:"
    return [*blocks, SignatureBox(statement, (who, f"For {ground.club.name}"))]


def terms_words(hunt: Hunt, currency: str) -> str:
    """Under what objects of this hunt go back or are shared."""
    if hunt.permission is None:
        return no_terms_words(hunt)
    shared = sharing_in_words(sharing_of(hunt.permission), currency)
    return f"Agreed in {hunt.permission.reference}: {shared}"


def no_terms_words(hunt: Hunt) -> str:
    return (
        f"{hunt.code} was before the records kept here. Permission: {hunt.permission_words}. No terms of sharing are "
        "on record for it; agree them before anything changes hands."
    )


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
        return "held while the law's questions are answered; you will be told the outcome"
    return {
        "landholder": "returned",
        "lost": "lost; please speak to us",
        "reburied": "reburied",
        "buyer": "sold as agreed",
        "museum": "with a museum",
        "officer": "with the heritage officer for recording, then back",
        "conservator": "with a conservator, then back",
    }.get(last.to_holder if last else "", "to be returned or shared as agreed")
