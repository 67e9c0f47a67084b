"""Propose to hand one or many objects over together. Nothing moves until the receiver accepts."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.custody import (
    CustodyError,
    NotTheHolderError,
    check_from,
    holder_words,
    last_step,
    locked_finds,
    may_move,
)
from finds.models import CustodyEntry, Find, HandOver, HandOverItem
from finds.models.custody import NOBODY
from people import audit
from people.models import Club, User


def _next_number(year: int) -> dict[str, Any]:
    """Under the club's one row, so that two people at once get two numbers. Taken before any find is locked."""
    Club.objects.get_or_create(pk=1, defaults={"name": "Club"})
    Club.objects.select_for_update().get(pk=1)
    last = HandOver.objects.filter(year=year).aggregate(last=Max("serial"))["last"] or 0
    return {"year": year, "serial": last + 1, "number": f"M{year}-{last + 1:04}"}


@transaction.atomic
def propose_hand_over(
    find_ids: Sequence[int],
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    to_holder: str,
    to_name: str,
    purpose: str,
    conditions: Mapping[int, str] | None = None,
    why: str = "",
    **details: Any,
) -> HandOver:
    """Propose to hand these objects over together. Nobody's custody changes until the receiver accepts.

    `conditions` by find; `details` are the other columns of HandOver; `why` says how an object comes out of a final
    state. The same `client_id` twice is one. Raises NotTheHolderError naming objects that another person holds than
    the first one's holder, and CustodyError for objects that wait in another hand-over.
    """
    there = HandOver.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    if to_holder in NOBODY or not find_ids:
        raise CustodyError(_("Choose at least one object and somebody to hand it to."))
    number = _next_number(localdate(at).year)
    there = HandOver.objects.filter(client_id=client_id).first()  # made while this one waited for the lock
    if there is not None:
        return there
    finds = locked_finds(find_ids)
    lasts = {find.pk: last_step(find) for find in finds}
    for find in finds:
        may_move(find, lasts[find.pk], to_holder, by)
        check_from(find, lasts[find.pk], after_step=lasts[find.pk].step, words=why)
    _one_giver(finds, lasts)
    _none_waits(finds)
    said = {"to_holder": to_holder, "to_name": to_name, "purpose": purpose, "client_id": client_id}
    row = _keep(finds, lasts, conditions or {}, why, by=by, at=at, **said, **number, **details)
    audit.record("hand_over.propose", row, by=by, at=at, objects=len(finds), to=to_holder)
    return row


def _keep(
    finds: Sequence[Find],
    lasts: Mapping[int, CustodyEntry],
    conditions: Mapping[int, str],
    why: str,
    *,
    by: User,
    at: datetime,
    **columns: Any,
) -> HandOver:
    giver = lasts[finds[0].pk]
    row = HandOver.objects.create(
        from_holder=giver.to_holder, from_name=giver.to_shown, proposed_at=at, proposed_by=by, **columns
    )
    HandOverItem.objects.bulk_create(
        HandOverItem(
            hand_over=row,
            find=find,
            after_step=lasts[find.pk].step,
            condition_out=conditions.get(find.pk, ""),
            why=why[:300] if lasts[find.pk].is_final else "",
        )
        for find in finds
    )
    return row


def _one_giver(finds: Sequence[Find], lasts: Mapping[int, CustodyEntry]) -> None:
    first = lasts[finds[0].pk]
    holder = (first.to_holder, first.to_name)
    others = [f for f in finds if (lasts[f.pk].to_holder, lasts[f.pk].to_name) != holder]
    if others:
        where = "; ".join(
            _("%(number)s is with %(holder)s")
            % {"number": find.number, "holder": holder_words(lasts[find.pk])}
            for find in others
        )
        raise NotTheHolderError(
            _(
                "%(number)s is with %(holder_words)s, but %(where)s. Make one hand-over for each person "
                "who holds something."
            )
            % {"number": finds[0].number, "holder_words": holder_words(first), "where": where}
        )


def _none_waits(finds: Sequence[Find]) -> None:
    waiting = HandOverItem.objects.waiting().filter(find__in=finds).select_related("find", "hand_over")
    if rows := list(waiting):
        where = "; ".join(
            _("%(find)s waits in %(hand_over)s")
            % {"find": row.find.number, "hand_over": row.hand_over.number}
            for row in rows
        )
        raise CustodyError(_("%(where)s. Have it accepted or cancel it first.") % {"where": where})
