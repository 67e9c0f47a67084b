"""A member goes out alone, stays longer, and comes back."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

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
            raise PermissionDenied(_("This record was made by somebody else."))
        return there
    _check_times(fields["out_at"], fields["due_back"], at)
    away = LoneHunt.objects.away().filter(user=by).first()
    if away is not None:
        raise LoneHuntError(
            _("You are still down as out since %(away_out_at)s; say that you are back first.")
            % {"away_out_at": date_format(localtime(away.out_at), "j M Y, H:i")}
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
            _("%(due)s is not after %(out_at)s when you go out; give a later time.")
            % {"due": date_format(due, "j M Y, H:i"), "out_at": date_format(localtime(out_at), "H:i")}
        )
    if due_back <= at:
        raise LoneHuntError(
            _("%(due)s has gone by; give the time by which you will be back.")
            % {"due": date_format(due, "j M Y, H:i")}
        )
    if due_back - out_at > LONGEST:
        raise LoneHuntError(
            _(
                "Back at %(due)s is more than 16 hours after going out; nobody would miss you in time. "
                "Give an earlier time."
            )
            % {"due": date_format(due, "j M Y, H:i")}
        )


def _check_gate(lone: LoneHunt, at: datetime) -> None:
    decision = lone_gate(lone, at=at)
    if decision is None or decision.answer is Answer.OPEN:
        return
    words = " ".join(reason.words for reason in decision.reasons if reason.effect == decision.answer)
    if decision.answer is Answer.SHUT:
        raise LoneHuntError(
            _("The gate of %(lone_site)s is shut: %(words)s") % {"lone_site": lone.site, "words": words}
        )
    if not lone.gate_asked.strip():
        raise LoneHuntError(
            _("The gate of %(lone_site)s says to ask first: %(words)s Write down who said yes.")
            % {"lone_site": lone.site, "words": words}
        )


@transaction.atomic
def change_due_back(lone_id: int, *, by: User, at: datetime, due_back: datetime) -> LoneHunt:
    """Stay longer or come home sooner; alarms count from the new time. Raises LoneHuntError once back."""
    lone = _locked(lone_id)
    if lone.user_id != by.pk:
        raise PermissionDenied(_("Only the person who is out changes the time."))
    if lone.back_at is not None:
        raise LoneHuntError(
            _("You were back at %(lone_back_at)s; nothing is due.")
            % {"lone_back_at": date_format(localtime(lone.back_at), "j M Y, H:i")}
        )
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
