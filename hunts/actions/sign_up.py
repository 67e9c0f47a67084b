"""Sign up, withdraw, and the waiting list that moves up by itself."""

from datetime import datetime
from uuid import UUID, uuid4

from django.db import transaction
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.actions.guest_places import let_guests_go, places_taken
from hunts.actions.locks import locked_hunt
from hunts.eligible import barred, with_cards
from hunts.errors import NotEligibleError, SignUpError
from hunts.gate import personal_bars
from hunts.mail import tell
from hunts.models import Attendance, Hunt, SignUp
from hunts.states import HuntState, SignUpState
from people import audit
from people.models import User
from people.rights import Right, require


@transaction.atomic
def sign_up(
    hunt_id: int, *, by: User, at: datetime, client_id: UUID | None = None, person: User | None = None
) -> SignUp:
    """Take a place, or the next place on the waiting list. Signing up twice is signing up once.

    Those who run hunts may sign up another `person`, who is told by letter; also while the hunt runs, somebody at
    the gate who forgot. Raises SignUpError when sign-up is not open, NotEligibleError naming the date on which
    membership or insurance ends.
    """
    require(by, Right.SIGN_UP if person in {None, by} else Right.RUN_HUNT)
    person = person or by
    hunt = locked_hunt(hunt_id)
    row = SignUp.objects.filter(hunt=hunt, user=person).first()
    if row is not None and row.state != SignUpState.WITHDRAWN:
        return row
    _check_open(hunt, at, at_the_gate=by.holds(Right.RUN_HUNT))
    read = with_cards(person)
    if reasons := barred(read, hunt.on) or personal_bars(hunt, read):
        raise NotEligibleError(reasons)
    row = row or SignUp(hunt=hunt, user=person, client_id=client_id or uuid4())
    row.state = SignUpState.IN if _places_free(hunt) > 0 else SignUpState.WAITING
    row.asked_at, row.promoted_at = at, None
    row.save()
    audit.record("hunt.sign_up", row, by=by, at=at, hunt=hunt.code, state=row.state)
    if person != by and hunt.state == HuntState.OPEN:
        tell([person], "signed_up", hunt, by=by.name, waiting=row.state == SignUpState.WAITING)
    return row


def _check_open(hunt: Hunt, at: datetime, *, at_the_gate: bool) -> None:
    if hunt.state != HuntState.OPEN and not (at_the_gate and hunt.state == HuntState.RUNNING):
        raise SignUpError(
            _("%(hunt_code)s is %(hunt_state)s; sign-up is not open. Ask the leader, %(leader_name)s.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state), "leader_name": hunt.leader.name}
        )
    if localdate(at) > hunt.on:
        raise SignUpError(
            _("%(hunt_code)s was on %(hunt_on)s, which has gone by. Choose a coming hunt.")
            % {"hunt_code": hunt.code, "hunt_on": date_format(hunt.on, "j M Y")}
        )


def _places_free(hunt: Hunt) -> int:
    return hunt.capacity - places_taken(hunt)


@transaction.atomic
def withdraw(hunt_id: int, *, by: User, at: datetime) -> SignUp | None:
    """Give one's place back; the first person waiting who may come gets it. Twice is once.

    Guests go with their host.

    Raises SignUpError for the hunt's leader, for somebody already signed in, and after the hunt.
    """
    hunt = locked_hunt(hunt_id)
    row = SignUp.objects.filter(hunt=hunt, user=by).first()
    if row is None or row.state == SignUpState.WITHDRAWN:
        return row
    _check_may_go(hunt, row)
    let_guests_go(row, by=by, at=at)
    row.state = SignUpState.WITHDRAWN
    row.save(update_fields=["state"])
    audit.record("hunt.withdraw", row, by=by, at=at, hunt=hunt.code)
    promote_waiting(hunt, by=by, at=at)
    return row


def _check_may_go(hunt: Hunt, row: SignUp) -> None:
    if hunt.state not in {HuntState.PLANNED, HuntState.OPEN, HuntState.RUNNING}:
        raise SignUpError(
            _("%(hunt_code)s is %(hunt_state)s; there is no place to give back.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    if row.user_id == hunt.leader_id:
        raise SignUpError(
            _("You lead %(hunt_code)s. Hand the lead to somebody else first, then withdraw.")
            % {"hunt_code": hunt.code}
        )
    if Attendance.objects.filter(sign_up=row).exists():
        raise SignUpError(
            _("You are on the roll call of %(hunt_code)s. Ask the leader to sign you out instead.")
            % {"hunt_code": hunt.code}
        )


def promote_waiting(hunt: Hunt, *, by: User, at: datetime) -> list[SignUp]:
    """Move people up from the waiting list, the oldest first, one for each free place, and tell them.

    Call it with the hunt locked. People who may not come on that day keep their turn and wait.
    """
    free = _places_free(hunt)
    moved: list[SignUp] = []
    for row in SignUp.objects.waiting().filter(hunt=hunt).select_related("user") if free > 0 else ():
        if len(moved) == free:
            break
        if barred(row.user, hunt.on):
            continue
        row.state, row.promoted_at = SignUpState.IN, at
        row.save(update_fields=["state", "promoted_at"])
        audit.record("hunt.promote", row, by=by, at=at, hunt=hunt.code)
        moved.append(row)
    tell((row.user for row in moved), "promoted", hunt)
    return moved


def give_leader_a_place(hunt: Hunt, *, by: User, at: datetime) -> None:
    """The leader is one of the heads: signed up like everybody, insured and a member on the day.

    Call it with the hunt locked. Raises NotEligibleError, SignUpError when every place is taken.
    """
    row = SignUp.objects.filter(hunt=hunt, user=hunt.leader).first()
    if row is not None and row.state == SignUpState.IN:
        return
    if reasons := barred(hunt.leader, hunt.on):
        raise NotEligibleError(reasons)
    if _places_free(hunt) < 1:
        raise SignUpError(
            _(
                "All %(hunt_capacity)s places are taken and the leader needs one; give %(value)s places, "
                "or choose a leader who is signed up."
            )
            % {"hunt_capacity": hunt.capacity, "value": hunt.capacity + 1}
        )
    row = row or SignUp(hunt=hunt, user=hunt.leader, client_id=uuid4())
    row.state, row.asked_at = SignUpState.IN, at
    row.save()
    audit.record("hunt.sign_up", row, by=by, at=at, hunt=hunt.code, state=row.state)
