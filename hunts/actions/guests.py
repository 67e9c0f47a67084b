"""Bring a guest or a junior, take them off the list, sign them in and out."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from hunts.actions.guest_places import places_taken
from hunts.actions.locks import locked_hunt
from hunts.actions.sign_up import promote_waiting
from hunts.errors import GuestError, NotEligibleError, RollCallError
from hunts.guests import guest_bars
from hunts.late import names_out
from hunts.mail import no_alarm
from hunts.models import Attendance, Guest, Hunt, SignUp
from hunts.states import HuntState, SignUpState
from people import audit
from people.models import User
from people.rights import Right, require


@transaction.atomic
def bring_guest(
    hunt_id: int,
    *,
    by: User,
    at: datetime,
    client_id: UUID,
    host: SignUp,
    responsible: SignUp | None = None,
    **fields: Any,
) -> Guest:
    """Give a guest or a junior one of the places; those who run hunts may do it for another host.

    Raises GuestError where no place is free or the host holds none, NotEligibleError naming what the terms or the
    insurance card lack. The same `client_id` again is one row.
    """
    require(by, Right.SIGN_UP if host.user_id == by.pk else Right.RUN_HUNT)
    hunt = locked_hunt(hunt_id)
    there = Guest.objects.filter(client_id=client_id).select_related("host").first()
    if there is not None:
        if there.host.user_id != by.pk and not by.holds(Right.RUN_HUNT):
            raise PermissionDenied(_("This record was made by somebody else."))
        return there
    _check_host(hunt, host, at, at_the_gate=by.holds(Right.RUN_HUNT))
    guest = Guest(client_id=client_id, hunt=hunt, host=host, added_at=at, **fields)
    guest.responsible = responsible if guest.is_junior else None
    _check_junior(guest, hunt)
    if bars := guest_bars(hunt, guest):
        raise NotEligibleError(bars)
    if places_taken(hunt) >= hunt.capacity:
        raise GuestError(
            _(
                "All %(hunt_capacity)s places of %(hunt_code)s are taken. A guest does not wait; try "
                "again when one is free."
            )
            % {"hunt_capacity": hunt.capacity, "hunt_code": hunt.code}
        )
    guest.save(force_insert=True)
    # The trail outlives an erasure, so no name of somebody without an account stands in it.
    audit.record("guest.bring", guest, by=by, at=at, hunt=hunt.code, junior=guest.is_junior)
    return guest


def _check_host(hunt: Hunt, host: SignUp, at: datetime, *, at_the_gate: bool) -> None:
    allowed = {HuntState.OPEN, HuntState.RUNNING} if at_the_gate else {HuntState.OPEN}
    if hunt.state not in allowed or localdate(at) > hunt.on:
        raise GuestError(
            _(
                "%(hunt_code)s is %(hunt_state)s; guests are put on the list while sign-up is open. Ask "
                "%(leader_name)s."
            )
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state), "leader_name": hunt.leader.name}
        )
    if host.hunt_id != hunt.pk or host.state != SignUpState.IN:
        raise GuestError(
            _("%(user_name)s holds no place on %(hunt_code)s; the host signs up first.")
            % {"user_name": host.user.name, "hunt_code": hunt.code}
        )


def _check_junior(guest: Guest, hunt: Hunt) -> None:
    if not guest.is_junior:
        return
    adult = guest.responsible
    if adult is None or adult.hunt_id != hunt.pk or adult.state != SignUpState.IN:
        raise GuestError(
            _("Say which adult with a place on %(hunt_code)s answers for %(guest_name)s all day.")
            % {"hunt_code": hunt.code, "guest_name": guest.name}
        )


@transaction.atomic
def withdraw_guest(guest_id: int, *, by: User, at: datetime) -> Guest:
    """Take a guest off the list; the place goes to whoever waits first. Twice is once.

    Raises GuestError once the guest has signed in.
    """
    guest, hunt = _locked(guest_id)
    if by.pk != guest.host.user_id:
        require(by, Right.RUN_HUNT)
    if guest.withdrawn_at is not None:
        return guest
    if guest.signed_in_at is not None:
        raise GuestError(
            _("%(guest_name)s is on the roll call of %(hunt_code)s; sign them out instead.")
            % {"guest_name": guest.name, "hunt_code": hunt.code}
        )
    guest.withdrawn_at = at
    guest.save(update_fields=["withdrawn_at"])
    audit.record("guest.withdraw", guest, by=by, at=at, hunt=hunt.code)
    promote_waiting(hunt, by=by, at=at)
    return guest


@transaction.atomic
def sign_in_guest(guest_id: int, *, by: User, at: datetime) -> Guest:
    """Sign a guest in; a junior only once the responsible adult is in. Twice is once, coming back is allowed.

    Raises RollCallError.
    """
    require(by, Right.RUN_HUNT)
    guest, hunt = _locked(guest_id)
    if hunt.state != HuntState.RUNNING or guest.withdrawn_at is not None:
        state = (
            _("off the list")
            if guest.withdrawn_at
            else _("on a hunt that is %(hunt_state)s") % {"hunt_state": _(hunt.state)}
        )
        raise RollCallError(
            _("%(guest_name)s is %(state)s, so cannot be signed in.")
            % {"guest_name": guest.name, "state": state}
        )
    if guest.is_out:
        return guest
    adult = guest.responsible
    if adult is not None and not Attendance.objects.out().filter(sign_up=adult).exists():
        raise RollCallError(
            _("%(guest_name)s is a junior: sign %(user_name)s in first, who answers for them.")
            % {"guest_name": guest.name, "user_name": adult.user.name}
        )
    guest.signed_in_at = guest.signed_in_at or at
    guest.signed_in_by = guest.signed_in_by or by
    guest.signed_out_at = guest.signed_out_by = None
    guest.save()
    audit.record("guest.sign_in", guest, by=by, at=at, hunt=hunt.code)
    return guest


@transaction.atomic
def sign_out_guest(guest_id: int, *, by: User, at: datetime) -> Guest:
    """Sign a guest out, also after the hunt was called off. Twice is once. Raises RollCallError."""
    require(by, Right.RUN_HUNT)
    guest, hunt = _locked(guest_id)
    if guest.signed_in_at is None:
        raise RollCallError(
            _("%(guest_name)s has not signed in to %(hunt_code)s; sign them in first.")
            % {"guest_name": guest.name, "hunt_code": hunt.code}
        )
    if guest.signed_out_at is not None:
        return guest
    if at < guest.signed_in_at:
        raise RollCallError(
            _("%(guest_name)s signed in at %(guest_signed_in_at)s; give a later time.")
            % {
                "guest_name": guest.name,
                "guest_signed_in_at": date_format(localtime(guest.signed_in_at), "H:i"),
            }
        )
    guest.signed_out_at, guest.signed_out_by = at, by
    guest.save(update_fields=["signed_out_at", "signed_out_by"])
    if at > hunt.finishes and not names_out(hunt):
        no_alarm(hunt, at=at)
    audit.record("guest.sign_out", guest, by=by, at=at, hunt=hunt.code, late=at > hunt.finishes)
    return guest


def _locked(guest_id: int) -> tuple[Guest, Hunt]:
    """The guest under the hunt's lock, so that signing in, closing and withdrawing never cross."""
    hunt = locked_hunt(Guest.objects.values_list("hunt_id", flat=True).get(pk=guest_id))
    guest = Guest.objects.select_related("host__user", "responsible__user").get(pk=guest_id)
    return guest, hunt
