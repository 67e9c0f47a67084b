"""The two ends of a hunt: closed when everybody is back, or called off."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from hunts.actions.ground import keep_blank_ground
from hunts.actions.locks import locked_hunt
from hunts.errors import AlreadyClosedError, HeadCountError, HuntError, StillOutError, UnfilledError
from hunts.mail import tell
from hunts.models import Attendance, Guest, Hole, Hunt
from hunts.states import HUNT_MOVES, HuntState, SignUpState
from people import audit
from people.models import User
from people.rights import Right, require
from web.states import check_move


@transaction.atomic
def close_hunt(
    hunt_id: int,
    *,
    by: User,
    at: datetime,
    counted: int,
    unfilled_why: str = "",
    noticed: str = "",
    damage: str = "",
) -> Hunt:
    """Close a running hunt: everybody back, heads `counted` equal to those who signed in.

    Holes that are not filled need `unfilled_why`; they stay listed. `noticed` and `damage` are
    read by the landholder. Raises AlreadyClosedError for the second
    of two leaders, StillOutError naming who is out, HeadCountError, UnfilledError, IllegalMoveError.
    """
    require(by, Right.RUN_HUNT)
    hunt = locked_hunt(hunt_id)
    if hunt.state == HuntState.CLOSED:
        raise AlreadyClosedError(hunt.code, hunt.closed_by.name if hunt.closed_by else "", hunt.closed_at)
    check_move(HUNT_MOVES, HuntState(hunt.state), HuntState.CLOSED)
    _check_everybody_back(hunt, counted)
    unfilled = list(
        Hole.objects.unfilled().filter(hunt=hunt).order_by("number").values_list("number", flat=True)
    )
    if unfilled and not unfilled_why.strip():
        raise UnfilledError(unfilled)
    hunt.state, hunt.closed_at, hunt.closed_by = HuntState.CLOSED, at, by
    hunt.unfilled_why = unfilled_why.strip() if unfilled else ""
    hunt.noticed, hunt.damage = noticed.strip(), damage.strip()
    hunt.save(update_fields=["state", "closed_at", "closed_by", "unfilled_why", "noticed", "damage"])
    keep_blank_ground(hunt)
    audit.record("hunt.close", hunt, by=by, at=at, counted=counted, unfilled=unfilled, why=hunt.unfilled_why)
    return hunt


def _check_everybody_back(hunt: Hunt, counted: int) -> None:
    came = Attendance.objects.filter(sign_up__hunt=hunt)
    guests = Guest.objects.filter(hunt=hunt, signed_in_at__isnull=False)
    out = sorted(
        [
            *came.out().values_list("sign_up__user__name", flat=True),
            *guests.out().values_list("name", flat=True),
        ]
    )
    if out:
        raise StillOutError(hunt.code, out)
    signed_in = came.count() + guests.count()
    if counted != signed_in:
        raise HeadCountError(counted, signed_in)


@transaction.atomic
def call_off_hunt(hunt_id: int, *, by: User, at: datetime, why: str) -> Hunt:
    """Call a hunt off from any state before closed and tell everybody who was coming or waiting.

    People already signed in stay on the roll call until they are signed out. Raises HuntError without a
    reason, IllegalMoveError once it is closed or called off.
    """
    require(by, Right.PLAN_HUNT)
    hunt = locked_hunt(hunt_id)
    check_move(HUNT_MOVES, HuntState(hunt.state), HuntState.CALLED_OFF)
    if not why.strip():
        raise HuntError(
            _("Say why %(hunt_code)s is called off; everybody who was coming is told.")
            % {"hunt_code": hunt.code}
        )
    hunt.state, hunt.called_off_why = HuntState.CALLED_OFF, why.strip()
    hunt.save(update_fields=["state", "called_off_why"])
    coming = hunt.sign_ups.exclude(state=SignUpState.WITHDRAWN).select_related("user")
    tell((row.user for row in coming), "called_off", hunt, why=hunt.called_off_why)
    audit.record("hunt.call_off", hunt, by=by, at=at, why=hunt.called_off_why)
    return hunt
