"""Take finds of several people to the officer in one visit: plan it, record how it went, or call it off."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import Max
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from finds.actions.custody import CustodyError, holder_words, last_step, locked_finds
from finds.actions.hand_over_proposals import propose_hand_over
from finds.actions.hand_overs import complete_hand_over
from finds.models import CustodyEntry, Find
from finds.models.custody import AUTHORITY, FINAL, Holder
from finds.models.hand_over import Capacity
from people import audit
from people.models import Club, User
from people.rights import Right, require
from reports.models import OfficerVisit, OfficerVisitItem
from reports.states import OFFICER_VISIT_MOVES, OfficerVisitState
from web.states import check_move


class OfficerVisitError(Exception):
    """The visit cannot be kept like this; the sentence says why and what to do."""


def _hold_club() -> None:
    """The club's one row first, as every giver of numbers takes it, then finds: nobody waits in a ring."""
    Club.objects.get_or_create(pk=1, defaults={"name": "Club"})
    Club.objects.select_for_update().get(pk=1)


@transaction.atomic
def plan_officer_visit(
    find_ids: Sequence[int],
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    conditions: Mapping[int, str] | None = None,
    **details: Any,
) -> OfficerVisit:
    """Plan to take these finds to an authority together. Nobody's custody changes. The same `client_id` is one.

    `details` are the columns of OfficerVisit. Raises OfficerVisitError naming finds that cannot be taken along.
    """
    require(by, Right.MOVE_CUSTODY)
    _hold_club()
    there = OfficerVisit.objects.filter(client_id=client_id).first()
    if there is not None:
        return there
    finds = locked_finds(find_ids)
    _check_may_go(finds)
    year = localdate(at).year
    last = OfficerVisit.objects.filter(year=year).aggregate(last=Max("serial"))["last"] or 0
    number = {"year": year, "serial": last + 1, "number": f"B{year}-{last + 1:04}"}
    row = OfficerVisit.objects.create(client_id=client_id, planned_at=at, planned_by=by, **number, **details)
    said = conditions or {}
    OfficerVisitItem.objects.bulk_create(
        OfficerVisitItem(visit=row, find=find, condition=said.get(find.pk, find.condition)) for find in finds
    )
    audit.record("officer_visit.plan", row, by=by, at=at, objects=len(finds))
    return row


def _check_may_go(finds: Sequence[Find]) -> None:
    if not finds:
        raise OfficerVisitError(_("Choose at least one find to take along."))
    wrong = []
    for find in finds:
        last = _last(find)
        if last.to_holder in {*AUTHORITY, *FINAL}:
            wrong.append(
                _("%(find_number)s is with %(holder_words)s")
                % {"find_number": find.number, "holder_words": holder_words(last)}
            )
    planned = OfficerVisitItem.objects.filter(find__in=finds, visit__state=OfficerVisitState.PLANNED)
    for item in planned.select_related("find", "visit"):
        wrong.append(
            _("%(find_number)s is on the list of %(visit_number)s")
            % {"find_number": item.find.number, "visit_number": item.visit.number}
        )
    if wrong:
        raise OfficerVisitError(
            _("%(wrong)s. Leave these out, or put that right first.") % {"wrong": "; ".join(wrong)}
        )


def _last(find: Find) -> CustodyEntry:
    try:
        return last_step(find)
    except CustodyError as error:
        raise OfficerVisitError(str(error)) from error


@transaction.atomic
def record_officer_visit(
    visit_id: int,
    *,
    by: User,
    at: datetime,
    evidence: str,
    conditions: Mapping[int, str],
    left: Mapping[int, str],
) -> OfficerVisit:
    """Record the visit as it went: every find but those `left` (find → why) is now with the officer, or none is.

    Each giver's finds make one hand-over. Sent twice it is recorded once. Raises OfficerVisitError for a day that has
    not come, a visit called off, or when nothing was handed over; CustodyError naming finds that moved elsewhere.
    """
    require(by, Right.MOVE_CUSTODY)
    _hold_club()
    find_ids = OfficerVisitItem.objects.filter(visit=visit_id).values_list("find", flat=True)
    finds = locked_finds(find_ids)
    row = OfficerVisit.objects.select_for_update(of=("self",)).get(pk=visit_id)
    if row.state == OfficerVisitState.DONE:
        return row
    check_move(OFFICER_VISIT_MOVES, OfficerVisitState(row.state), OfficerVisitState.DONE)
    if row.on > localdate(at):
        raise OfficerVisitError(
            _("%(row_number)s is on %(row_on)s; record it when it has been.")
            % {"row_number": row.number, "row_on": date_format(row.on, "j M Y")}
        )
    taken = [find for find in finds if find.pk not in left]
    if not taken:
        raise OfficerVisitError(_("If nothing was handed over, call the visit off and say why."))
    made = _hand_over(row, taken, by=by, at=at, evidence=evidence, conditions=conditions)
    for item in row.items.all():
        item.hand_over_id = made.get(item.find_id)
        item.condition = conditions.get(item.find_id, item.condition)
        item.why = left.get(item.find_id, "")[:200]
        item.save(update_fields=["hand_over", "condition", "why"])
    _end(row, OfficerVisitState.DONE, by=by, at=at, evidence=evidence)
    return row


def _hand_over(
    row: OfficerVisit,
    finds: Sequence[Find],
    *,
    by: User,
    at: datetime,
    evidence: str,
    conditions: Mapping[int, str],
) -> dict[int, int]:
    """One completed hand-over for each giver; the hand-over by find."""
    by_giver: dict[tuple[str, str], list[int]] = {}
    for find in finds:
        last = _last(find)
        if last.to_holder in {*AUTHORITY, *FINAL}:
            raise CustodyError(
                _("%(find_number)s is with %(holder_words)s already; say that it was not handed over.")
                % {"find_number": find.number, "holder_words": holder_words(last)}
            )
        by_giver.setdefault((last.to_holder, last.to_name), []).append(find.pk)
    made: dict[int, int] = {}
    for (holder, name), find_ids in sorted(by_giver.items()):
        capacity = Capacity.FINDER if holder == Holder.FINDER else Capacity.KEEPER
        hand_over = propose_hand_over(
            find_ids, by=by, at=at, client_id=uuid5(row.client_id, f"{holder}:{name}"), capacity=capacity,
            to_holder=row.to_holder, to_name=row.to_name, to_details=row.to_details, purpose=row.purpose,
            location=row.place, due_back=row.due_back, conditions=conditions,
        )  # fmt: skip
        complete_hand_over(hand_over.pk, by=by, at=at, evidence=evidence)
        made |= dict.fromkeys(find_ids, hand_over.pk)
    return made


@transaction.atomic
def call_off_officer_visit(visit_id: int, *, by: User, at: datetime, why: str) -> OfficerVisit:
    """Say that the visit does not take place; the finds stay where they are. Raises IllegalMoveError once recorded."""
    require(by, Right.MOVE_CUSTODY)
    row = OfficerVisit.objects.select_for_update(of=("self",)).get(pk=visit_id)
    if row.state != OfficerVisitState.CALLED_OFF:
        check_move(OFFICER_VISIT_MOVES, OfficerVisitState(row.state), OfficerVisitState.CALLED_OFF)
        _end(row, OfficerVisitState.CALLED_OFF, by=by, at=at, why=why[:300])
    return row


def _end(row: OfficerVisit, to: OfficerVisitState, *, by: User, at: datetime, **said: str) -> None:
    row.state, row.ended_at, row.ended_by = to, at, by
    for name, words in said.items():
        setattr(row, name, words)
    row.save(update_fields=["state", "ended_at", "ended_by", *said])
    audit.record(f"officer_visit.{to.name.lower()}", row, by=by, at=at)
