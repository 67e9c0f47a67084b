"""The steward's own writes: going back to filled holes on grass, and weighing the scrap."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from hunts.actions.hole_care import reopen_hole
from hunts.actions.locks import locked_hole, locked_hunt
from hunts.errors import HoleError, HuntError
from hunts.models import HoleRecheck, Hunt
from hunts.rechecks import EARLIEST_DAYS
from hunts.states import HoleState, HuntState
from people import audit
from people.models import User
from people.rights import Right, require
from web.once import made_before


@transaction.atomic
def recheck_hole(
    hole_id: int, *, by: User, at: datetime, client_id: UUID, sound: bool, words: str = ""
) -> HoleRecheck:
    """Record a look at a filled hole some weeks later; one that has sunk is open again. Same `client_id`, one row.

    Raises HoleError for a hole that is open, too early a look, or an unsound hole without words.
    """
    require(by, Right.CHECK_HOLES)
    hole = locked_hole(hole_id)
    there = made_before(HoleRecheck.objects.all(), client_id)
    if there is not None:
        return there
    if hole.state == HoleState.DUG or hole.filled_at is None:
        raise HoleError(
            _("Hole %(hole_number)s is not filled; fill it first.") % {"hole_number": hole.number}
        )
    days = (localdate(at) - localdate(hole.filled_at)).days
    if days < EARLIEST_DAYS:
        raise HoleError(
            _(
                "Hole %(hole_number)s was filled %(days)s days ago; a plug settles in two weeks, so look "
                "again from day %(earliest_days)s."
            )
            % {"hole_number": hole.number, "days": days, "earliest_days": EARLIEST_DAYS}
        )
    if not sound and not words.strip():
        raise HoleError(
            _("Say what is wrong with hole %(hole_number)s, so that it can be mended.")
            % {"hole_number": hole.number}
        )
    row = HoleRecheck.objects.create(
        client_id=client_id, hole=hole, at=at, by=by, sound=sound, words=words.strip()
    )
    audit.record("hole.recheck", hole, by=by, at=at, hunt=hole.hunt.code, sound=sound)
    if not sound:
        reopen_hole(hole.pk, by=by, at=at, why=words)
    return row


@transaction.atomic
def weigh_scrap(hunt_id: int, *, by: User, at: datetime, scrap_kg: Decimal | None) -> Hunt:
    """Keep the weight of scrap that was taken away; None says that it was not weighed. Raises HuntError."""
    require(by, Right.RUN_HUNT)
    hunt = locked_hunt(hunt_id)
    if hunt.state not in {HuntState.RUNNING, HuntState.CLOSED}:
        raise HuntError(
            _("%(hunt_code)s is %(hunt_state)s; scrap is weighed during the hunt or after it.")
            % {"hunt_code": hunt.code, "hunt_state": _(hunt.state)}
        )
    if scrap_kg is not None and not 0 <= scrap_kg < 10_000:
        raise HuntError(_("%(scrap_kg)s kg cannot be; give 0 to 9,999 kg.") % {"scrap_kg": scrap_kg})
    hunt.scrap_kg = scrap_kg
    hunt.save(update_fields=["scrap_kg"])
    audit.record("hunt.scrap", hunt, by=by, at=at, scrap_kg=str(scrap_kg) if scrap_kg is not None else None)
    return hunt
