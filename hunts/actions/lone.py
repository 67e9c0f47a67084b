"""A member goes out alone, stays longer, and comes back."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.timezone import localdate, localtime

from hunts.eligible import barred
from hunts.errors import LoneHuntError, NotEligibleError
from hunts.lone_gate import lone_gate
from hunts.mail import no_alarm
from hunts.models import LoneHunt
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.gate import Answer

LONGEST = timedelta(hours=16)


@transaction.atomic
def go_out_alone(*, by: User, at: datetime, client_id: UUID, **fields: Any) -> LoneHunt:
    """Write down a lone hunt with the time to be back; the same `client_id` again is one row.

    Raises LoneHuntError for times that cannot be, while another is not back yet, and where the gate of a club's
    site is shut or asks and nobody was asked; NotEligibleError without membership or insurance on that day.
    """
    require(by, Right.SIGN_UP)
    User.objects.select_for_update().get(pk=by.pk)  # two tabs at once, or one form twice: one lone hunt
    there = LoneHunt.objects.filter(client_id=client_id).first()
    if there is not None:
        if there.user_id != by.pk:
            raise PermissionDenied("This record was made by somebody else.")
        return there
    _check_times(fields["out_at"], fields["due_back"], at)
    away = LoneHunt.objects.away().filter(user=by).first()
    if away is not None:
        raise LoneHuntError(
            f"You are still down as out since {localtime(away.out_at):%-d %b %Y, %H:%M}; say that you are back first."
        )
    if reasons := barred(by, localdate(fields["out_at"])):
        raise NotEligibleError(reasons)
    lone = LoneHunt(client_id=client_id, user=by, **fields)
    _check_gate(lone, at)
    lone.save(force_insert=True)
    audit.record("lone.out", lone, by=by, at=at, due_back=lone.due_back.isoformat())
    return lone


def _check_times(out_at: datetime, due_back: datetime, at: datetime) -> None:
    due = localtime(due_back)
    if due_back <= out_at:
        raise LoneHuntError(
            f"{due:%-d %b %Y, %H:%M} is not after {localtime(out_at):%H:%M} when you go out; give a later time."
        )
    if due_back <= at:
        raise LoneHuntError(f"{due:%-d %b %Y, %H:%M} has gone by; give the time by which you will be back.")
    if due_back - out_at > LONGEST:
        raise LoneHuntError(
            f"Back at {due:%-d %b %Y, %H:%M} is more than 16 hours after going out; nobody would miss you in time. "
            "Give an earlier time."
        )


def _check_gate(lone: LoneHunt, at: datetime) -> None:
    decision = lone_gate(lone, at=at)
    if decision is None or decision.answer is Answer.OPEN:
        return
    words = " ".join(reason.words for reason in decision.reasons if reason.effect == decision.answer)
    if decision.answer is Answer.SHUT:
        raise LoneHuntError(f"The gate of {lone.site} is shut: {words}")
    if not lone.gate_asked.strip():
        raise LoneHuntError(f"The gate of {lone.site} says to ask first: {words} Write down who said yes.")


@transaction.atomic
def change_due_back(lone_id: int, *, by: User, at: datetime, due_back: datetime) -> LoneHunt:
    """Stay longer or come home sooner; alarms count from the new time. Raises LoneHuntError once back."""
    lone = _locked(lone_id)
    if lone.user_id != by.pk:
        raise PermissionDenied("Only the person who is out changes the time.")
    if lone.back_at is not None:
        raise LoneHuntError(f"You were back at {localtime(lone.back_at):%-d %b %Y, %H:%M}; nothing is due.")
    _check_times(lone.out_at, due_back, at)
    lone.due_back = due_back
    lone.save(update_fields=["due_back"])
    audit.record("lone.change", lone, by=by, at=at, due_back=due_back.isoformat())
    return lone


@transaction.atomic
def come_back(lone_id: int, *, by: User, at: datetime) -> LoneHunt:
    """The person is back; a leader who has spoken to them may say so too. Twice is once."""
    lone = _locked(lone_id)
    if lone.user_id != by.pk:
        require(by, Right.RUN_HUNT)
    if lone.back_at is None:
        lone.back_at, lone.back_by = at, by
        lone.save(update_fields=["back_at", "back_by"])
        no_alarm(lone, at=at)
        audit.record("lone.back", lone, by=by, at=at, late=at > lone.due_back)
    return lone


def _locked(lone_id: int) -> LoneHunt:
    row: LoneHunt = (
        LoneHunt.objects.select_for_update(of=("self",)).select_related("user", "site").get(pk=lone_id)
    )
    return row
