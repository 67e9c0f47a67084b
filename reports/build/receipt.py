"""A receipt or return slip for one hand-over: what object entry and exit ask for, and what was signed."""

from datetime import date

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from finds.hand_over_text import items_of, lines_of, statement_of
from finds.models import ConditionPhoto, HandOver, HandOverItem
from finds.models.custody import OWN, Holder
from finds.models.hand_over import Side
from people.languages import speaking
from people.models import Club
from reports.blocks import (
    Block,
    Column,
    Fact,
    FactList,
    Heading,
    MapBlock,
    Notice,
    NoticeKind,
    Paragraph,
    Photo,
    PhotoGrid,
    Report,
    SignatureBox,
    Table,
    say_columns,
)
from tongue import noop
from web.qr import qr_svg

COLUMNS = (
    Column(noop("Number")),
    Column(noop("Object")),
    Column(noop("How many"), numeric=True),
    Column(noop("When handed over")),
    Column(noop("When received")),
)
HIDDEN = noop(
    "The words signed name a landholder whose details were erased. The club keeps them unshown; signed"
)
STATES = {
    "waiting": noop("waiting"),
    "moved": noop("received"),
    "missing": noop("not received"),
    "out": noop("taken out before it went"),
}


def is_return(row: HandOver) -> bool:
    """Things go back: to the land's people, or to finder or club from somebody outside."""
    return row.to_holder == Holder.LANDHOLDER or (row.to_holder in OWN and row.from_holder not in OWN)


@speaking("")
def receipt_report(row: HandOver, *, on: date) -> Report:
    """Return the receipt of `row` as it stands; no place of any find is in it, and its code holds the number only."""
    club = Club.objects.filter(pk=1).first() or Club(name=_("The club"))
    title = _("Return slip") if is_return(row) else _("Receipt for objects")
    lines = lines_of(row)
    return Report(
        kind="receipt",
        number=row.number,
        title=title,
        subtitle=_("%(row_from_shown)s to %(row_to_shown)s")
        % {"row_from_shown": row.from_shown, "row_to_shown": row.to_shown},
        club=club.name,
        issued_on=on,
        facts=tuple(
            Fact(label, words)
            for label, words in lines
            if label in {_("Number"), _("Due back"), _("What for")}
        ),
        blocks=tuple(_blocks(row, lines)),
    )


def _blocks(row: HandOver, lines: list[tuple[str, str]]) -> list[Block]:
    items = items_of(row)
    rows = tuple(_row(item) for item in items)
    rest = tuple(
        Fact(label, words)
        for label, words in lines
        if label not in {_("Number"), _("Due back"), _("What for")}
    )
    note = _n(
        "%(row_number)s: %(items)s object, proposed %(moment)s.",
        "%(row_number)s: %(items)s objects, proposed %(moment)s.",
        len(items),
    ) % {"row_number": row.number, "items": len(items), "moment": _moment(row)}
    alt = _("Code that holds the number %(row_number)s and nothing else.") % {"row_number": row.number}
    # The code on the first sheet: alone at the end it took a sheet of its own.
    code = MapBlock(qr_svg(row.number), alt, row.number)
    blocks: list[Block] = [FactList(rest), Table(_("Objects"), say_columns(COLUMNS), rows, note), code]
    left = [item for item in items if item.state in {"missing", "out"}]
    if left:
        words = "\n".join(f"{item.find.number}: {_(STATES[item.state])}. {item.why}".strip() for item in left)
        blocks.append(Notice(NoticeKind.CAUTION, words, _("Did not go with the others")))
    if row.evidence:
        blocks.append(Paragraph(_("Received as shown by %(row_evidence)s.") % {"row_evidence": row.evidence}))
    if photos := _photos(row):
        blocks += [Heading(_("Condition in photographs")), PhotoGrid(photos, columns=4)]
    return [*blocks, *_signatures(row)]


def _moment(row: HandOver) -> str:
    return date_format(localtime(row.proposed_at), "j F Y H:i")


def _row(item: HandOverItem) -> tuple[str, ...]:
    find = item.find
    out, came = item.condition_out or _("not noted"), item.condition_in or _(STATES[item.state])
    return (find.number, find.object_type, str(find.count), out, came)


def _photos(row: HandOver) -> tuple[Photo, ...]:
    """How each object looked, small, in the order of the table; each says what it shows and when it was taken."""
    taken = ConditionPhoto.objects.filter(item__hand_over=row).select_related("item__find")
    return tuple(
        Photo(f"condition-{photo.pk}", f"{photo.item.find}, {_stage(photo)}", _caption(photo))
        for photo in taken.order_by("item__find__number", "-stage", "pk")  # out before in
    )


def _stage(photo: ConditionPhoto) -> str:
    return photo.get_stage_display().lower()


def _caption(photo: ConditionPhoto) -> str:
    return f"{photo.item.find.number}, {_stage(photo)}{f': {photo.caption}' if photo.caption else ''}"


def _signatures(row: HandOver) -> list[Block]:
    """What was signed, word for word, and lines to sign on for whoever has not."""
    signed = {each.side: each for each in row.signatures.all()}
    blocks: list[Block] = []
    names = {Side.GIVER: row.from_shown, Side.RECEIVER: row.to_shown}
    for side in Side:
        if each := signed.get(side.value):
            when = date_format(localtime(each.signed_at), "j F Y H:i")
            said = (
                _(HIDDEN)
                if row.names_erased
                else _("%(each_text)s\n\nSigned by %(each_name)s")
                % {"each_text": each.text, "each_name": each.name}
            )
            words = _("%(said)s, %(when)s.\nSHA-256 of the text signed: %(each_text_sha256)s") % {
                "said": said,
                "when": when,
                "each_text_sha256": each.text_sha256,
            }
            blocks += [
                Heading(_("%(side_label)s: what was signed") % {"side_label": side.label}),
                Paragraph(words),
            ]
        elif row.state in {"proposed", "accepted"}:
            blocks.append(SignatureBox(statement_of(row, side), (f"{side.label}: {names[side]}",)))
    return blocks
