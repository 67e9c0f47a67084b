"""Settle a record from a phone: what it became and its row are one transaction, so that it is stored once."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, IntegrityError, InterfaceError, OperationalError, transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from field.errors import NotNeededError, NotStoredError, NotYoursError
from field.models import PhoneRecord, Reason
from field.models.record import State
from hunts.models import Attendance, GroundReading, Hunt, Track
from people import audit
from people.models import User
from people.rights import Right, require
from tongue import figure, noop

FAULT = noop(
    "The server met a fault of its own. The record is kept as you sent it; try again later, "
    "and tell the secretary if it stays."
)


@dataclass(frozen=True, slots=True)
class Incoming:
    """What is known of a record before anything of it is understood; `raw` is kept where it is not stored."""

    client_id: UUID
    kind: str
    digest: str
    hunt: Hunt | None
    belongs_to: UUID | None
    raw: Any
    is_new: bool
    """No row of this key was seen before."""


Write = Callable[[], Model]


@transaction.atomic
def settle(incoming: Incoming, write: Write, *, by: User, at: datetime) -> tuple[PhoneRecord, bool]:
    """Store the record by calling `write`, or park it with what `write` raises; returns its row, and whether this
    did it. A record that is stored stays as it is.

    The row is held while this goes on: of two servers with the same record one waits and finds it stored. `write`
    raises NotStoredError to park, NotNeededError to leave out. Raises NotYoursError; a database that cannot be
    reached is nobody's record's fault and is passed on.
    """
    row = _held(incoming, by=by, at=at)
    if row.state == State.STORED:
        return row, False
    row.hunt, row.kind, row.digest, row.belongs_to = (
        incoming.hunt,
        incoming.kind,
        incoming.digest,
        incoming.belongs_to,
    )
    try:
        with transaction.atomic():
            made = write()
    except NotStoredError as error:
        _park(row, incoming, error, by=by, at=at)
    except NotNeededError as error:
        _leave(row, {"kind": incoming.kind}, str(error), by=by, at=at)
    except (OperationalError, InterfaceError):
        raise
    except DatabaseError:  # its own words would tell the row, and with it the place
        _park(row, incoming, NotStoredError(Reason.FAULT, _(FAULT)), by=by, at=at)
    else:
        _store(row, made, at=at)
    return row, True


def label_of(made: Model) -> str:
    """What a phone calls it: words that name no place."""
    if isinstance(made, Attendance):
        return _("Signed out")
    if isinstance(made, GroundReading):
        return f"{made.get_environment_display()}: {made.value:f}"
    if isinstance(made, Track):
        return _("Track, %(made_length_m)s m") % {"made_length_m": figure(f"{made.length_m:,.0f}")}
    words = str(made)
    return words[:1].upper() + words[1:]


def _held(incoming: Incoming, *, by: User, at: datetime) -> PhoneRecord:
    """The row of this key, locked; made where there is none."""
    new = {
        "owner": by,
        "came_at": at,
        "kind": incoming.kind,
        "digest": incoming.digest,
        "reason": Reason.FAULT,
        "sent": {},
    }
    if incoming.is_new:
        with suppress(IntegrityError), transaction.atomic():  # another server may be quicker
            return PhoneRecord.objects.create(client_id=incoming.client_id, **new)
    row = PhoneRecord.objects.select_for_update(of=("self",)).get(client_id=incoming.client_id)
    if row.owner_id != by.pk:
        raise NotYoursError
    return row


def _store(row: PhoneRecord, made: Model, *, at: datetime) -> None:
    row.state, row.settled_at, row.sent, row.reason, row.why = State.STORED, at, None, "", ""
    row.made, row.made_pk, row.label = made._meta.model_name or "", made.pk, label_of(made)[:160]
    row.left_out_why = ""
    row.save()


def _park(row: PhoneRecord, incoming: Incoming, error: NotStoredError, *, by: User, at: datetime) -> None:
    is_new = row.state != State.PARKED or row.reason != error.reason or not row.why
    row.state, row.reason, row.why = State.PARKED, str(error.reason), error.why
    row.sent = {} if incoming.raw is None else incoming.raw
    row.settled_at, row.left_out_why = None, ""
    row.save()
    if is_new:
        audit.record("phone.park", row, by=by, at=at, kind=row.kind, reason=str(error.reason))


def _leave(row: PhoneRecord, sent: Any, why: str, *, by: User, at: datetime) -> None:
    row.state, row.settled_at, row.left_out_why, row.sent = State.LEFT_OUT, at, why[:300], sent
    row.reason = row.why = ""
    row.save()
    audit.record("phone.leave_out", row, by=by, at=at, kind=row.kind)


@transaction.atomic
def leave_out(record_id: int, *, by: User, at: datetime, why: str) -> PhoneRecord:
    """Its owner says that a parked record shall not be stored, and why; the row stays. Twice is once."""
    row = PhoneRecord.objects.select_for_update(of=("self",)).get(pk=record_id)
    if row.owner_id != by.pk:
        raise PermissionDenied(_("Only who made a record leaves it out."))
    if row.state == State.PARKED:
        _leave(row, row.sent, why.strip(), by=by, at=at)
    return row


@transaction.atomic
def let_in(record_id: int, *, by: User, at: datetime) -> PhoneRecord:
    """The hunt's leader, or who runs hunts, vouches for a record that came while the hunt did not run."""
    row = (
        PhoneRecord.objects.select_for_update(of=("self",)).select_related("hunt", "owner").get(pk=record_id)
    )
    if row.hunt is None or row.hunt.leader_id != by.pk:
        require(by, Right.RUN_HUNT)
    if row.state == State.PARKED and row.let_in_by_id is None:
        row.let_in_by = by
        row.save(update_fields=["let_in_by"])
        audit.record("phone.let_in", row, by=by, at=at, kind=row.kind)
    return row
