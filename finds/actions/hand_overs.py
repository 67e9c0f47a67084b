"""Hand-overs that were proposed: signed by both, accepted, refused, cancelled."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from finds.actions.custody import (
    CustodyError,
    append,
    check_from,
    last_step,
    locked_finds,
)
from finds.hand_over_text import digest_of, items_of, statement_of, text_of
from finds.models import HandOver, HandOverItem, HandOverSignature
from finds.models.hand_over import Side
from finds.states import HAND_OVER_MOVES, HandOverState, ItemState
from people import audit
from people.models import User
from people.rights import Right, require
from web.states import check_move


class OutdatedError(CustodyError):
    """What was read is not what stands there now."""


def _locked(hand_over_id: int) -> HandOver:
    """The hand-over with its finds locked first, in the order that every mover of custody keeps."""
    locked_finds(HandOverItem.objects.filter(hand_over=hand_over_id).values_list("find", flat=True))
    return HandOver.objects.select_for_update(of=("self",)).get(pk=hand_over_id)


def may_manage(row: HandOver, by: User) -> None:
    """Those who keep custody, and whoever proposed it."""
    if by.pk != row.proposed_by_id:
        require(by, Right.MOVE_CUSTODY)


def _end(
    row: HandOver, to: HandOverState, *, by: User | None, at: datetime, via: str = "", why: str = ""
) -> None:
    if row.state != HandOverState.PROPOSED:
        raise CustodyError(
            _("%(row_number)s was %(row_state)s already, so nothing changes any more.")
            % {"row_number": row.number, "row_state": _(row.state)}
        )
    check_move(HAND_OVER_MOVES, HandOverState(row.state), to)
    row.state, row.ended_at, row.ended_by, row.ended_why = to, at, by, why[:500]
    row.save(update_fields=["state", "ended_at", "ended_by", "ended_why"])
    audit.record(f"hand_over.{to.value}", row, by=by, at=at, via=via)


def _accept(
    row: HandOver,
    *,
    by: User | None,
    at: datetime,
    via: str,
    conditions: Mapping[int, str],
    missing: Mapping[int, str],
    **signed: Any,
) -> None:
    """Move what was received, keep what was not as a question, and end the hand-over. Rows are locked."""
    waiting = [item for item in items_of(row) if item.state == ItemState.WAITING]
    if all(item.pk in missing for item in waiting):
        raise CustodyError(_("If nothing was received, refuse the hand-over and say why."))
    _end(row, HandOverState.ACCEPTED, by=by, at=at, via=via)
    for item in waiting:
        _one(
            row, item, by=by, at=at, via=via, said=conditions.get(item.pk, ""), missing=missing, signed=signed
        )


def _one(
    row: HandOver,
    item: HandOverItem,
    *,
    by: User | None,
    at: datetime,
    via: str,
    said: str,
    missing: Mapping[int, str],
    signed: Mapping[str, Any],
) -> None:
    item.condition_in = said or item.condition_in
    if item.pk in missing:
        item.state, item.why = ItemState.MISSING, missing[item.pk][:300]
    else:
        item.state = ItemState.MOVED
        last = last_step(item.find)
        check_from(item.find, last, after_step=item.after_step, words=item.why)
        moved = {"to_holder": row.to_holder, "to_name": row.to_name, "purpose": row.purpose}
        more = {"due_back": row.due_back, "condition": item.condition_in or item.condition_out}
        append(
            item.find, last, by=by, at=at, via=via, words=item.why, hand_over=row, **moved, **more, **signed
        )
    item.save(update_fields=["condition_in", "state", "why"])


def _text_as_read(row: HandOver, side: str, read_sha256: str) -> str:
    """The text that is signed. Raises OutdatedError where another one was read."""
    if row.state != HandOverState.PROPOSED:
        raise CustodyError(
            _("%(row_number)s was %(row_state)s, so it is not signed any more.")
            % {"row_number": row.number, "row_state": _(row.state)}
        )
    text = text_of(row, items_of(row), side)
    if read_sha256 != digest_of(text):
        raise OutdatedError(
            _("This text changed after it was opened, so it was not signed. Read it again, then sign.")
        )
    return text


@transaction.atomic
def sign_hand_over(
    hand_over_id: int,
    side: str,
    *,
    by: User | None,
    via: str,
    at: datetime,
    client_id: UUID,
    name: str,
    read_sha256: str,
    drawn: list[Any],
    conditions: Mapping[int, str] | None = None,
    missing: Mapping[int, str] | None = None,
) -> HandOverSignature:
    """Sign for one side, on this screen (`by`) or through the address (None). Twice is once.

    The receiver's signature moves the custody of all objects but the `missing` ones (item → what is wrong with it).
    Raises OutdatedError when the text read is not the text that stands, CustodyError for a hand-over that has ended.
    """
    row = _locked(hand_over_id)
    if by is not None:
        may_manage(row, by)
    there = row.signatures.filter(side=side).first()
    if there is not None:
        return there
    text = _text_as_read(row, side, read_sha256)
    signature = HandOverSignature.objects.create(
        client_id=client_id,
        hand_over=row,
        side=side,
        name=name,
        statement=statement_of(row, side),
        text=text,
        text_sha256=digest_of(text),
        drawn=drawn,
        signed_at=at,
        signed_by=by,
    )
    audit.record("hand_over.sign", row, by=by, at=at, via=via, side=side, sha256=signature.text_sha256)
    if side == Side.RECEIVER:
        seal = {"name": name, "at": at.isoformat(), "sha256": signature.text_sha256}
        said = {"conditions": conditions or {}, "missing": missing or {}}
        _accept(row, by=by, at=at, via=via, signature=seal, **said)
    return signature


@transaction.atomic
def complete_hand_over(hand_over_id: int, *, by: User, at: datetime, evidence: str) -> HandOver:
    """Record that the receiver has the objects although they did not sign here: `evidence` says what shows it.

    For those who keep custody. Raises CustodyError without evidence or for a hand-over that has ended.
    """
    require(by, Right.MOVE_CUSTODY)
    row = _locked(hand_over_id)
    if not evidence.strip():
        raise CustodyError(
            _("Say what shows that it was received, for instance the officer's receipt and its date.")
        )
    _accept(row, by=by, at=at, via="", conditions={}, missing={}, evidence=evidence)
    row.evidence = evidence
    row.save(update_fields=["evidence"])
    return row


@transaction.atomic
def confirm_hand_over(
    hand_over_id: int,
    *,
    via: str,
    at: datetime,
    name: str,
    paper: str,
    sha256: str,
    missing: Mapping[int, str],
) -> HandOver:
    """Accept a hand-over because the receiver confirmed the `paper` that lists it, whose content has that hash.

    `missing` says by find what did not arrive. One that has ended already stays as it is; with everything missing it
    waits on, for the club to put right.
    """
    row = _locked(hand_over_id)
    waiting = {item.find_id: item.pk for item in row.items.waiting()}
    lacks = {waiting[find]: why for find, why in missing.items() if find in waiting}
    if row.state != HandOverState.PROPOSED or len(lacks) == len(waiting):
        return row
    seal = {"name": name, "at": at.isoformat(), "sha256": sha256}
    shown = (_("%(paper)s, confirmed by %(name)s") % {"paper": paper, "name": name})[:200]
    _accept(row, by=None, at=at, via=via, conditions={}, missing=lacks, signature=seal, evidence=shown)
    row.evidence = shown
    row.save(update_fields=["evidence"])
    return row


@transaction.atomic
def refuse_hand_over(hand_over_id: int, *, by: User | None, via: str, at: datetime, why: str) -> HandOver:
    """The receiver does not take the objects; they stay with whoever holds them. Raises CustodyError once ended."""
    row = _locked(hand_over_id)
    if by is not None:
        may_manage(row, by)
    return _without(row, HandOverState.REFUSED, by=by, via=via, at=at, why=why)


@transaction.atomic
def cancel_hand_over(hand_over_id: int, *, by: User, at: datetime, why: str) -> HandOver:
    """Take a proposal back; the objects stay with whoever holds them. Raises CustodyError once ended."""
    row = _locked(hand_over_id)
    may_manage(row, by)
    return _without(row, HandOverState.CANCELLED, by=by, via="", at=at, why=why)


def _without(
    row: HandOver, to: HandOverState, *, by: User | None, via: str, at: datetime, why: str
) -> HandOver:
    if row.state == to:
        return row
    _end(row, to, by=by, at=at, via=via, why=why)
    for item in row.items.waiting():
        item.state, item.why = ItemState.OUT, why[:300]
        item.save(update_fields=["state", "why"])
    return row


@transaction.atomic
def answer_missing(item_id: int, *, by: User, at: datetime, words: str) -> HandOverItem:
    """Say what was done about an object that the receiver did not get. The first answer stands."""
    require(by, Right.MOVE_CUSTODY)
    item = HandOverItem.objects.select_for_update(of=("self",)).get(pk=item_id)
    if item.state == ItemState.MISSING and item.answered_at is None:
        item.answer, item.answered_at, item.answered_by = words[:300], at, by
        item.save(update_fields=["answer", "answered_at", "answered_by"])
        audit.record("hand_over.answer", item, by=by, at=at)
    return item
