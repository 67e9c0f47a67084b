"""The day itself: start, briefing heard, in and out."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate, localtime
from django.utils.translation import gettext as _

from hunts.actions.guest_places import check_no_junior_left
from hunts.actions.locks import locked_hunt
from hunts.eligible import barred
from hunts.errors import GateShutError, NotEligibleError, RollCallError, UnfilledError, WrongDayError
from hunts.gate import gate_now
from hunts.late import names_out
from hunts.mail import no_alarm
from hunts.models import Attendance, Hole, Hunt, SignUp
from hunts.states import HUNT_MOVES, HuntState, SignUpState
from people import audit
from people.models import User
from people.rights import Right, require
from permissions.gate import Answer
from web.states import check_move


@transaction.atomic
def start_hunt(hunt_id: int, *, by: User, at: datetime) -> Hunt:
    """Start the hunt on its own day. The gate is asked once more: a permission paused since refuses.

    Raises WrongDayError, GateShutError, IllegalMoveError.
    """
    require(by, Right.RUN_HUNT)
    hunt = locked_hunt(hunt_id)
    check_move(HUNT_MOVES, HuntState(hunt.state), HuntState.RUNNING)
    today = localdate(at)
    if today != hunt.on:
        raise WrongDayError(
            _(
                "%(hunt_code)s is on %(hunt_on)s and today is %(today)s. Start it on its day, or call it "
                "off and plan another."
            )
            % {
                "hunt_code": hunt.code,
                "hunt_on": date_format(hunt.on, "j M Y"),
                "today": date_format(today, "j M Y"),
            }
        )
    said = gate_now(hunt, at=at)
    if said.answer is Answer.SHUT:
        raise GateShutError(said.bars)
    hunt.state, hunt.started_at = HuntState.RUNNING, at
    hunt.save(update_fields=["state", "started_at"])
    audit.record("hunt.start", hunt, by=by, at=at, gate=said.answer.value)
    return hunt


@transaction.atomic
def hear_briefing(hunt_id: int, sign_up_ids: Collection[int], *, by: User, at: datetime) -> int:
    """Record that these people heard the briefing; the first hearing stands. Returns how many are new."""
    require(by, Right.RUN_HUNT)
    hunt = locked_hunt(hunt_id)
    if hunt.state not in {HuntState.OPEN, HuntState.RUNNING}:
        raise RollCallError(
            _("%(hunt_code)s is %(hunt_state)s; the briefing is read before or during the hunt.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    rows = SignUp.objects.standing().filter(hunt=hunt, pk__in=sign_up_ids, briefed_at__isnull=True)
    names = sorted(rows.values_list("user__name", flat=True))
    if names:
        SignUp.objects.filter(pk__in=list(rows.values_list("pk", flat=True))).update(
            briefed_at=at, briefed_by=by
        )
        audit.record("hunt.briefing", hunt, by=by, at=at, heard=names)
    return len(names)


@transaction.atomic
def sign_in(sign_up_id: int, *, by: User, at: datetime) -> Attendance:
    """Sign one person in; vehicle and emergency contact are copied for this day. Twice is once.

    Somebody who signed out and comes back is signed in again in the same row. Raises RollCallError when the
    hunt is not running or the person holds no place, NotEligibleError.
    """
    require(by, Right.RUN_HUNT)
    sign_up, hunt = _for_roll_call(sign_up_id)
    if hunt.state != HuntState.RUNNING:
        raise RollCallError(
            _("%(hunt_code)s is %(hunt_state)s; start it before you sign people in.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    if sign_up.state != SignUpState.IN:
        raise RollCallError(
            _("%(user_name)s is %(standing)s, so there is no place to sign in to.")
            % {"user_name": sign_up.user.name, "standing": _standing(sign_up)}
        )
    if reasons := barred(sign_up.user, hunt.on):
        raise NotEligibleError(reasons)
    row = Attendance.objects.filter(sign_up=sign_up).first()
    if row is not None and row.is_out:
        return row
    if row is None:
        person = sign_up.user
        row = Attendance(sign_up=sign_up, signed_in_at=at, vehicle=person.vehicle)
        row.signed_in_by, row.emergency_contact = by, person.emergency_contact
    row.signed_out_at = row.signed_out_by = None
    row.save()
    audit.record("hunt.sign_in", sign_up, by=by, at=at, hunt=hunt.code)
    return row


@transaction.atomic
def sign_out(sign_up_id: int, *, by: User, at: datetime) -> Attendance:
    """Sign one person out: also after the hunt was called off, for as long as somebody is out. Twice is once.

    Raises RollCallError for somebody who never signed in, and while a junior they answer for is out.
    """
    require(by, Right.RUN_HUNT)
    sign_up, hunt = _for_roll_call(sign_up_id)
    return _out(sign_up, hunt, by=by, at=at, left_at=at)


@transaction.atomic
def sign_myself_out(
    hunt_id: int, *, by: User, at: datetime, left_at: datetime, unfilled_why: str = ""
) -> Attendance:
    """Sign oneself out, from the gate: `left_at` is when one left, at most `at`. Twice is once.

    Raises RollCallError as `sign_out` does, and while one's own holes are not filled and nothing is said of why.
    """
    require(by, Right.LOG_HOLES)
    mine = SignUp.objects.filter(hunt=hunt_id, user=by).values_list("pk", flat=True).first()
    if mine is None:
        raise RollCallError(_("You hold no place on this hunt; tell its leader that you are off the field."))
    sign_up, hunt = _for_roll_call(mine)
    dug = Hole.objects.unfilled().filter(hunt=hunt, digger=by).order_by("number")
    unfilled = list(dug.values_list("number", flat=True))
    if unfilled and not unfilled_why.strip():
        raise RollCallError(str(UnfilledError(unfilled)))
    said = {"unfilled": unfilled, "why": unfilled_why.strip()[:300]} if unfilled else {}
    return _out(sign_up, hunt, by=by, at=at, left_at=left_at, **said)


def _out(
    sign_up: SignUp, hunt: Hunt, *, by: User, at: datetime, left_at: datetime, **said: Any
) -> Attendance:
    row = Attendance.objects.filter(sign_up=sign_up).first()
    if row is None:
        raise RollCallError(
            _(
                "%(user_name)s has not signed in to %(hunt_code)s, so cannot sign out at %(left_at)s. "
                "Sign them in first."
            )
            % {
                "user_name": sign_up.user.name,
                "hunt_code": hunt.code,
                "left_at": date_format(localtime(left_at), "H:i"),
            }
        )
    if not row.is_out:
        return row
    if left_at < row.signed_in_at:
        raise RollCallError(
            _(
                "%(user_name)s signed in at %(row_signed_in_at)s; %(left_at)s is before that. Give a "
                "later time."
            )
            % {
                "user_name": sign_up.user.name,
                "row_signed_in_at": date_format(localtime(row.signed_in_at), "H:i"),
                "left_at": date_format(localtime(left_at), "H:i"),
            }
        )
    check_no_junior_left(sign_up)
    row.signed_out_at, row.signed_out_by = left_at, by
    row.save(update_fields=["signed_out_at", "signed_out_by"])
    if at > hunt.finishes and not names_out(hunt):
        no_alarm(hunt, at=at)
    late = left_at > hunt.finishes
    audit.record("hunt.sign_out", sign_up, by=by, at=at, hunt=hunt.code, late=late, **said)
    return row


def _for_roll_call(sign_up_id: int) -> tuple[SignUp, Hunt]:
    """The sign-up under its hunt's lock, so that signing in and closing never cross."""
    hunt = Hunt.objects.select_for_update(of=("self",)).get(sign_ups=sign_up_id)
    return SignUp.objects.select_related("user").get(pk=sign_up_id), hunt


def _standing(sign_up: SignUp) -> str:
    return _("on the waiting list") if sign_up.state == SignUpState.WAITING else "withdrawn"
