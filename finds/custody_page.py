"""What the pages about custody show: where everything is, one hand-over, the storage boxes."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Count, Q, QuerySet

from finds.forms.custody import (
    AddressForm,
    AnswerForm,
    ConditionPhotosForm,
    EvidenceForm,
    GiveForm,
    ReceiveForm,
    WhyForm,
    ledger_form,
)
from finds.hand_over_text import digest_of, items_of, lines_of, statement_of, text_of
from finds.models import BoxMove, CustodyEntry, Find, HandOver, HandOverItem, HandOverSignature
from finds.models.custody import AUTHORITY, Holder
from finds.models.hand_over import Side
from finds.states import HandOverState, ItemState
from people.models import User
from people.rights import Right
from web.sign_form import SignForm, stroke_paths


@dataclass(frozen=True, slots=True)
class Where:
    """One object and where it is now, in words for one reader."""

    entry: CustodyEntry
    name: str
    box: str
    waits_in: HandOver | None
    status: str


def where_rows(user: User, asked: dict[str, Any], today: date) -> QuerySet[CustodyEntry]:
    """The newest entry of every live find that this reader may see, narrowed by what the form asked."""
    rows = (
        CustodyEntry.objects.visible_to(user).current().select_related("find", "find__hunt", "find__finder")
    )
    holder = asked.get("holder")
    if holder:
        rows = (
            rows.filter(to_holder__in=AUTHORITY) if holder == "authority" else rows.filter(to_holder=holder)
        )
    if asked.get("overdue"):
        rows = rows.overdue(today)
    if asked.get("box"):
        rows = rows.filter(find__in=BoxMove.objects.current().filter(box=asked["box"]).values("find"))
    if wanted := asked.get("q"):
        named = Q(to_name__icontains=wanted, to_erased=False)
        if not (user.holds(Right.SEE_LANDHOLDERS) or user.holds(Right.MOVE_CUSTODY)):
            named &= ~Q(to_holder=Holder.LANDHOLDER)
        rows = rows.filter(named | Q(find__number__icontains=wanted) | Q(find__object_type__icontains=wanted))
    return rows.order_by("due_back", "find__number", "pk")


def where_shown(entries: Iterable[CustodyEntry], user: User, today: date) -> list[Where]:
    """The rows of the page, with boxes and waiting hand-overs in one query each."""
    entries = list(entries)
    finds = [entry.find_id for entry in entries]
    boxes = {m.find_id: m.box for m in BoxMove.objects.current().filter(find__in=finds).select_related("box")}
    waits = {
        item.find_id: item.hand_over
        for item in HandOverItem.objects.waiting().filter(find__in=finds).select_related("hand_over")
    }
    seen = set(HandOver.objects.visible_to(user).filter(items__find__in=finds).values_list("pk", flat=True))
    return [
        Where(
            entry,
            entry.holder_for(user),
            str(boxes.get(entry.find_id) or ""),
            row if (row := waits.get(entry.find_id)) and row.pk in seen else None,
            "late" if entry.due_back and entry.due_back < today else "plain",
        )
        for entry in entries
    ]


def counts(user: User, today: date) -> list[dict[str, Any]]:
    """How many objects each kind of holder has, and how many of them are overdue; each stands in one row only."""
    rows = CustodyEntry.objects.visible_to(user).current().order_by().values("to_holder")
    found = {
        row["to_holder"]: row
        for row in rows.annotate(n=Count("pk"), late=Count("pk", filter=Q(due_back__lt=today)))
    }
    return [
        {
            "holder": holder.value,
            "label": holder.label,
            "n": found[holder]["n"],
            "late": found[holder]["late"],
        }
        for holder in Holder
        if holder in found
    ]


def sign_form(row: HandOver, items: list[HandOverItem], side: str, data: Any = None) -> SignForm:
    """The form for one side, with the hash of the text as it stands now."""
    statement = statement_of(row, side)
    initial = {"read_sha256": digest_of(text_of(row, items, side))}
    if side == Side.RECEIVER:
        waiting = [item for item in items if item.state == ItemState.WAITING]
        return ReceiveForm(data, statement=statement, initial=initial, items=waiting, auto_id="receive-%s")
    return GiveForm(data, statement=statement, initial=initial, auto_id="give-%s")


def signed(rows: Iterable[HandOverSignature]) -> list[dict[str, Any]]:
    return [{"row": row, "strokes": stroke_paths(row.drawn)} for row in rows]


def ledger_context(find: Find, user: User) -> dict[str, Any]:
    """What the find's page says of custody: every step in words for this reader, its box, and what it waits in."""
    entries = list(find.custody.select_related("hand_over"))
    mine = HandOver.objects.visible_to(user).filter(items__find=find)
    seen = {row.pk: row for row in mine}
    waiting = HandOverItem.objects.waiting().filter(find=find).values_list("hand_over", flat=True).first()
    move = BoxMove.objects.current().filter(find=find).select_related("box").first()
    return {
        "ledger": [
            {"entry": e, "who": e.holder_for(user), "hand_over": seen.get(e.hand_over_id or 0)}
            for e in entries
        ],
        "waits": seen.get(waiting or 0),
        "box": move.box if move else None,
        "custody_form": ledger_form(entries),
    }


def is_open(row: HandOver) -> bool:
    return row.state == HandOverState.PROPOSED


def text_context(row: HandOver) -> dict[str, Any]:
    """The hand-over as both sides read it: no place, no photograph, nothing but what the receipt says."""
    items = items_of(row)
    return {
        "row": row,
        "items": items,
        "lines": lines_of(row),
        "signatures": signed(row.signatures.all()),
        "is_open": is_open(row),
    }


def hand_over_context(row: HandOver, user: User, *, at: datetime, **forms: Any) -> dict[str, Any]:
    """The club's page of one hand-over. `forms` holds one that could not be taken, by its name."""
    context = text_context(row)
    items = context["items"]
    have = set(row.signatures.values_list("side", flat=True))
    may = user.pk == row.proposed_by_id or user.holds(Right.MOVE_CUSTODY)
    context["photos"] = [
        photo
        for item in row.items.select_related("find").prefetch_related("photos")
        for photo in item.photos.all()
    ]
    context["may_answer"] = user.holds(Right.MOVE_CUSTODY)
    context["answer_form"] = AnswerForm(auto_id=False)
    context["may_manage"] = may
    if may:
        context["photo_items"] = [
            {"item": item, "form": ConditionPhotosForm(auto_id=f"photo-{item.pk}-%s")} for item in items
        ]
    if may and context["is_open"]:
        context |= {
            "give_form": None if Side.GIVER in have else sign_form(row, items, Side.GIVER),
            "receive_form": sign_form(row, items, Side.RECEIVER),
            "evidence_form": EvidenceForm(auto_id="done-%s") if user.holds(Right.MOVE_CUSTODY) else None,
            "refuse_form": WhyForm(auto_id="refuse-%s"),
            "cancel_form": WhyForm(auto_id="cancel-%s"),
            "address_form": AddressForm(auto_id="address-%s"),
            "addresses": row.links.live(at).order_by("pk"),
        }
    return context | forms
