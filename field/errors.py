"""Why a record from a phone is not stored: parked with a reason, or not yet."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import TextChoices
from django.utils.translation import gettext as _

from field.envelope import BadRecordError
from field.models import Reason
from finds.actions import DrillStandsError, FindDateError, NotOnHuntError
from geo.errors import GeoError
from hunts.errors import HoleDateError, HuntError
from hunts.models import Hunt
from hunts.states import HuntState
from web.states import IllegalMoveError
from web.taken import TakenError

NO_LONGER = {HuntState.CLOSED, HuntState.CALLED_OFF}
NOT_YET = {HuntState.PLANNED, HuntState.OPEN}


class NotStoredError(Exception):
    """It is kept as it was sent; `why` is for its owner, `reason` tells others nothing of its content."""

    def __init__(self, reason: TextChoices, why: str) -> None:
        self.reason, self.why = reason, why
        super().__init__(reason)


class NotYetError(Exception):
    """What it belongs to has not come; the phone keeps it and sends it again."""


class NotNeededError(Exception):
    """There is nothing in it to keep; `why` says so, and the record is left out."""


class NotYoursError(Exception):
    """The key belongs to a record of somebody else."""


REFUSALS = (
    HuntError, GeoError, FindDateError, DrillStandsError, PermissionDenied, IllegalMoveError, TakenError,
    BadRecordError,
)  # fmt: skip
"""What the actions and readers of a record say in words to whoever made it."""


def refused(error: Exception, hunt: Hunt, moment: datetime, day_is_right: bool) -> NotStoredError:
    """What an action said, with the reason that others may know. `day_is_right`: the time is on the hunt's day."""
    if isinstance(error, BadRecordError):
        return NotStoredError(Reason.VALUE, str(error))
    if isinstance(error, NotOnHuntError | PermissionDenied):
        return NotStoredError(Reason.PLACE, str(error) or _("You may not record this."))
    if isinstance(error, HoleDateError | FindDateError) or not day_is_right:
        return NotStoredError(Reason.TIME, str(error))
    if isinstance(error, HuntError) and hunt.state in NO_LONGER:
        return NotStoredError(Reason.OVER, str(error))
    if isinstance(error, HuntError) and hunt.state in NOT_YET:
        return NotStoredError(Reason.NOT_STARTED, str(error))
    return NotStoredError(Reason.VALUE, str(error))
