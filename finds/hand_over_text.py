"""The text of a hand-over that both sides sign: who, what, why, until when, how it looked. Never where it was found.

Both sign the same words, so it is always in the club's language.
"""

from collections.abc import Sequence
from hashlib import sha256

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import HandOver, HandOverItem
from finds.models.hand_over import Side
from finds.states import ItemState
from people.languages import speaking


def items_of(row: HandOver) -> list[HandOverItem]:
    """Its objects in the order of their numbers, with their finds, in one query."""
    return list(row.items.select_related("find").order_by("find__number", "pk"))


@speaking("")
def lines_of(row: HandOver) -> list[tuple[str, str]]:
    """Each thing that a receipt has to say, as label and words; what was left empty is said to be so."""
    due = date_format(row.due_back, "j F Y") if row.due_back else _("not agreed; it stays where it goes")
    return [
        (_("Number"), row.number),
        (_("Handed over by"), f"{row.from_shown} ({row.get_from_holder_display().lower()})"),
        (_("On what authority"), row.get_capacity_display()),
        (_("Owner, as far as known"), _("not shown") if row.names_erased else row.owner or _("not said")),
        (_("Received by"), f"{row.to_shown} ({row.get_to_holder_display().lower()})"),
        (_("How to reach them"), _("not shown") if row.names_erased else row.to_details or _("not said")),
        (_("What for"), row.purpose),
        (_("Terms"), row.terms or _("none beyond this receipt")),
        (_("Where it will be kept"), row.location or _("not said")),
        (_("Due back"), due),
        (
            _("If it is not collected"),
            row.uncollected or _("nothing agreed; the receiver asks the owner first"),
        ),
    ]


def object_line(item: HandOverItem) -> str:
    find = item.find
    many = f" ({find.count})" if find.count != 1 else ""
    condition = item.condition_out or _("condition not noted")
    return f"{find.number} {find.object_type}{many}: {condition}"


@speaking("")
def statement_of(row: HandOver, side: str) -> str:
    if side == Side.GIVER:
        return _("I hand the objects listed in %(row_number)s over to %(row_to_shown)s on these terms.") % {
            "row_number": row.number,
            "row_to_shown": row.to_shown,
        }
    return _("I have received the objects listed in %(row_number)s and hold them on these terms.") % {
        "row_number": row.number
    }


@speaking("")
def text_of(row: HandOver, items: Sequence[HandOverItem], side: str) -> str:
    """The exact words that `side` agrees to. Objects that were taken out, and changed records, change the text."""
    said = [f"{label}: {words}" for label, words in lines_of(row)]
    objects = [object_line(item) for item in items if item.state in {ItemState.WAITING, ItemState.MOVED}]
    return "\n".join([*said, _("Objects:"), *objects, statement_of(row, side)])


def digest_of(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()
